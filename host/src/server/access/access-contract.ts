import { z } from "zod";
import type { CodeState, Role } from "./pairing-codes.js";

/** What passes between browser and server about who is here. Codes and answers under `/access`; the rest by the socket. */

/** `POST /access/pair`: the one thing that a stranger may ask. */
export const pairRequestSchema = z.strictObject({ code: z.string().regex(/^\d{8}$/, "must be eight digits") });

/** `POST /access/codes`: make a code. */
export const codeRequestSchema = z.strictObject({
  name: z
    .string()
    .trim()
    .min(1)
    .max(40)
    .regex(/^[^\p{C}]*$/u, "must have no control characters"),
  role: z.enum(["watch", "control"]),
  handOver: z.boolean(),
});

export type PairRequest = z.infer<typeof pairRequestSchema>;
export type CodeRequest = z.infer<typeof codeRequestSchema>;

/** A code as it was made, once; it is told to nobody else. */
export interface CodeView {
  readonly code: string;
  readonly lastsMs: number;
  /** Where it can be used; `qrPath` draws the address with the code in module units of a square `qrSize` wide. */
  readonly places: readonly { readonly url: string; readonly qrSize: number; readonly qrPath: string }[];
}

export interface PersonView {
  readonly id: string;
  readonly name: string;
  readonly role: Role;
  /** Whether a page of theirs is open now. */
  readonly here: boolean;
  /** Null for the computer itself. */
  readonly lastSeenAt: string | null;
}

/** Who is here and who controls, the same for everybody. */
export interface PeopleView {
  /** Where phones find this dashboard; none while it answers on this machine alone. */
  readonly addresses: readonly string[];
  readonly list: readonly PersonView[];
  readonly controllerId: string | null;
  /** Whether control can be had without asking. */
  readonly free: boolean;
  readonly askedById: string | null;
  readonly code: CodeState;
}

/** Which of them this browser is. */
export interface YouView {
  readonly id: string;
  readonly role: Role;
  readonly atComputer: boolean;
}
