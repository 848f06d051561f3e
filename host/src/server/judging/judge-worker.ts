import { parentPort } from "node:worker_threads";
import { judgeWithAnswers } from "./judge-with-answers.js";
import type { JudgingReply, JudgingTask } from "./judging-desk.js";

// A thread of its own: the thread of the server keeps benches awake and answers to stop, and a verdict takes seconds.
parentPort?.on("message", (task: JudgingTask) => parentPort?.postMessage(replyTo(task)));

function replyTo({ plan, readings, answers }: JudgingTask): JudgingReply {
  try {
    return { judged: judgeWithAnswers(plan, readings, answers) };
  } catch (error) {
    return { refused: error instanceof Error ? error.message : String(error) };
  }
}
