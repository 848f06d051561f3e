import type { Refusal } from "@pinwalk/firmware-protocol/bench-line.js";
import type { BenchProblem, BenchProblemCode } from "./bench-problem.js";
import { wordsForProblem } from "./bench-problem-words.js";

/** What the link and the session throw. `problem` has the numbers, `message` the words for a person. */
export class BenchError extends Error {
  constructor(
    readonly problem: BenchProblem,
    options?: ErrorOptions,
  ) {
    super(wordsForProblem(problem), options);
    this.name = "BenchError";
  }

  get code(): BenchProblemCode {
    return this.problem.code;
  }
}

/** Whether this is an error of the link, with that code if one is given. */
export function isBenchError(error: unknown, code?: BenchProblemCode): error is BenchError {
  return error instanceof BenchError && (code === undefined || error.code === code);
}

/** The bench's refusal in an error, if that is what it carries. */
export function refusalOf(error: unknown): Refusal | undefined {
  return isBenchError(error) && error.problem.code === "refused" ? error.problem.refusal : undefined;
}
