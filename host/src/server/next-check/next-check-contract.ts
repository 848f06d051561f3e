import { z } from "zod";
import { checkAnswersSchema } from "../../diagnosis/next-checks/check-answer.js";

/** From a browser, and from the disk. */
const checkAnswerSchema = checkAnswersSchema.element;

/** A next check that was made, with what came of it, as it stands with the readings. Texts are those that the person read. */
export const givenAnswerSchema = z.strictObject({
  ...checkAnswerSchema.shape,
  question: z.string().min(1).max(500),
  words: z.string().min(1).max(500),
  answeredAt: z.iso.datetime({ offset: true }),
});

/** Answers to one check of one vehicle; more are refused. */
export const mostAnswers = 60;

/** Commands of the dialogue about next checks. */
export const nextCheckCommands = {
  /** `answer` is one of the outcomes that the findings name with the check. */
  "next-check:answer": checkAnswerSchema,
  /** Takes back the answer of this number, counted from 0. */
  "next-check:undo": z.strictObject({ index: z.int().min(0).max(mostAnswers) }),
} as const;

export type GivenAnswer = z.infer<typeof givenAnswerSchema>;

export interface NextCheckView {
  readonly history: readonly {
    readonly question: string;
    readonly words: string;
    readonly answeredAt: string;
    /** False where later readings have made the question void. */
    readonly counts: boolean;
  }[];
  /** Checks for which a pin has to be driven meanwhile, with the pin; only those that may be kept driven. */
  readonly toDrive: readonly { readonly check: Readonly<Record<string, string>>; readonly pin: string }[];
  /**
   * How the dialogue stands; null while there is nothing to ask about. `narrowing`: one group is left, and what is asked tells
   * where in it.
   */
  readonly end:
    | { readonly kind: "asking" }
    | { readonly kind: "narrowing"; readonly text: string }
    | { readonly kind: "one-group"; readonly text: string }
    | { readonly kind: "cannot-tell"; readonly text: string }
    | null;
}
