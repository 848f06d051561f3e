import type { Plan } from "../../plan/plan-schema.js";
import type { Readings } from "../../readings/readings.js";
import type { GivenAnswer } from "../next-check/next-check-contract.js";
import { type NotDone, WorkThread } from "../work-thread.js";
import type { JudgedWithAnswers } from "./judge-with-answers.js";

export interface JudgingTask {
  readonly plan: Plan;
  readonly readings: Readings;
  /** What came of next checks. */
  readonly answers: readonly GivenAnswer[];
}

/** What comes back from the thread: errors do not pass between threads whole. */
export type JudgingReply = { readonly judged: JudgedWithAnswers } | { readonly refused: string };

/** Readings that could not be judged; `code` is for programs, the message for people. */
export class NotJudgedError extends Error {
  readonly code: "judging-broke-down" | "judging-too-long" | "judging-ended";

  constructor(code: NotJudgedError["code"], message: string) {
    super(message);
    this.name = "NotJudgedError";
    this.code = code;
  }
}

/** The worst that the diagnosis was seen to take on a slow core is some seconds. */
const usualMostMs = 60_000;
/** A few for each bay that there can be. */
const mostWaiting = 16;

const notJudged: Readonly<Record<NotDone, readonly [code: NotJudgedError["code"], message: string]>> = {
  broken: [
    "judging-broke-down",
    "The part of Pinwalk that works out what readings mean broke down, which says nothing about the wiring. What was measured is kept. Try that again, or take the check up again from Set up; if it breaks down once more, start Pinwalk anew.",
  ],
  "too-long": [
    "judging-too-long",
    "Working out what the readings mean took too long and was given up, which says nothing about the wiring. What was measured is kept.",
  ],
  crowded: ["judging-too-long", "Too many readings are being worked out at once. Try again in a moment."],
  gone: ["judging-ended", "Something else was begun, or Pinwalk is ending: the readings were not judged any more."],
};

/** Judges the readings of all bays, one walk's after another's, in a thread of its own. */
export class JudgingDesk {
  readonly #thread: WorkThread<JudgingTask, JudgingReply>;

  /** `script` is what runs in the thread. */
  constructor(script = new URL("./judge-worker.js", import.meta.url), mostMs = usualMostMs) {
    this.#thread = new WorkThread({ script, mostMs, mostWaiting });
  }

  /** Rejects with a {@link NotJudgedError}. When `signal` is aborted, the work is given up wherever it is. */
  async judge({ plan, readings, answers }: JudgingTask, signal?: AbortSignal): Promise<JudgedWithAnswers> {
    const reply = await this.#thread.ask({ plan, readings, answers }, signal ? { signal } : {});
    if (typeof reply === "string") throw new NotJudgedError(...notJudged[reply]);
    if ("judged" in reply) return reply.judged;
    throw new NotJudgedError("judging-broke-down", `Pinwalk stumbled over these readings: ${reply.refused}`);
  }

  close(): Promise<void> {
    return this.#thread.close();
  }
}
