import { z } from "zod";
import { checkAnswersSchema } from "../../diagnosis/next-checks/check-answer.js";

/** Commands about the pin that is kept driven while a person makes a next check. */
export const keepDrivenCommands = {
  /** `check` is one that the findings name and that needs a pin driven. */
  "keep-driven:start": z.strictObject({ check: checkAnswersSchema.element.shape.check }),
  /** The page of whoever looks is alive and in sight. */
  "keep-driven:keep": z.strictObject({}),
  /** Everything off. Harmless when nothing is kept driven. */
  "keep-driven:off": z.strictObject({}),
} as const;

export interface KeepDrivenView {
  readonly state: "idle" | "running" | "stopping" | "ended";
  /** Why it cannot begin now. */
  readonly hindrance: string | null;
  /** The check that it is, or was, driven for. */
  readonly check: Readonly<Record<string, string>> | null;
  readonly pin: string | null;
  /** Whether the supply is on the pin, and the current into it as measured last. */
  readonly driven: boolean;
  readonly amps: number | null;
  /** The browser whose signs of life keep it driven, by the id of its socket. */
  readonly holder: string | null;
  readonly end: { readonly message: string } | null;
}
