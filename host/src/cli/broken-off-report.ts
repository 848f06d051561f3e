import type { BrokenOff } from "../procedures/bench-turn.js";
import { type ExitCode, exitCodes } from "./exit-code.js";
import type { Terminal } from "./terminal.js";

const outputWords = {
  "confirmed-off": "Every output is off: the bench has said so.",
  silence:
    "The bench did not answer any more; it turns everything off by itself within a second. Press its stop button to be sure.",
  unreached: "No bench was reached, and nothing was driven.",
} as const;

/** Says why a procedure ended before its time and what is known of the outputs. */
export function brokenOffReport(outcome: BrokenOff, terminal: Terminal): ExitCode {
  const why =
    outcome.kind === "cancelled"
      ? "Stopped before the end: nothing is said."
      : `Could not test (${outcome.code}): ${outcome.message}`;
  terminal.err(`${why} ${outputWords[outcome.outputs ?? "unreached"]}`);
  return exitCodes.couldNotTest;
}
