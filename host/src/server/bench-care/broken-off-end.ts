import type { BrokenOff } from "../../procedures/bench-turn.js";
import { jobEnd, type StopReason } from "../walk-fold.js";
import type { CareEnd } from "./bench-care-contract.js";

/** How a job that looks after a bench ended before its time, in the words that every job has for it. */
export function brokenOffEnd(
  what: string,
  outcome: BrokenOff,
  reason: StopReason | null,
): Extract<CareEnd, { readonly message: string }> {
  const end = jobEnd(what, outcome, reason, false);
  if (end.kind === "judged") throw new Error("a job that was broken off has not judged");
  return { kind: end.kind, message: end.message };
}
