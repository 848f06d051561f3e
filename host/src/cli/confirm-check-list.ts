import { createInterface } from "node:readline/promises";
import type { Plan } from "../plan/plan-schema.js";
import { checkList } from "../procedures/check-list.js";
import { couldNotTest, wrongUse } from "./command-failure.js";
import type { Terminal } from "./terminal.js";

/**
 * Prints what has to be made sure of before a real bench drives anything, and goes on only when a person says that it is.
 * `checked` is the person's word given on the command line; without it, and with nobody to ask, nothing is driven.
 */
export async function confirmCheckList(plan: Plan, checked: boolean, terminal: Terminal): Promise<void> {
  terminal.err("Before the bench drives anything, make sure of this:");
  for (const { text } of checkList(plan)) terminal.err(`  [${checked ? "x" : " "}] ${text}`);
  if (checked) return;
  if (!terminal.canAsk) throw wrongUse("Nothing was driven. Say --checked once all of this is so.");
  if ((await ask("Is all of this so? Type yes to start: ")) !== "yes") throw couldNotTest("Nothing was driven.");
}

/** The answer in small letters; empty where the person pressed Ctrl-C or Ctrl-D instead. */
async function ask(question: string): Promise<string> {
  const lines = createInterface({ input: process.stdin, output: process.stderr });
  const gone = new Promise<string>((resolve) => {
    lines.once("SIGINT", () => lines.close());
    lines.once("close", () => resolve(""));
  });
  try {
    const answered = lines.question(question).then((answer) => answer.trim().toLowerCase());
    return await Promise.race([answered, gone]);
  } finally {
    lines.close();
  }
}
