import { z } from "zod";

/** Answers that one diagnosis takes. */
const mostAnswers = 100;

/**
 * A check that a person made, and what came of it: `check` as a findings document names it under `nextChecks`, `answer` the
 * answer of one of its outcomes. Answers are given in the order in which the checks were made.
 */
const checkAnswerSchema = z.strictObject({
  check: z.record(z.string(), z.string().max(200)),
  answer: z.string().max(200),
});

export const checkAnswersSchema = z.array(checkAnswerSchema).max(mostAnswers);

export type CheckAnswer = Readonly<z.infer<typeof checkAnswerSchema>>;
