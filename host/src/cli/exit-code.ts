import type { Findings } from "../diagnosis/findings.js";

/** What the shell sees. 64 is EX_USAGE of the BSD convention (sysexits, from memory). */
export const exitCodes = { pass: 0, fail: 1, unsure: 2, couldNotTest: 3, wrongUse: 64 } as const;

export type ExitCode = (typeof exitCodes)[keyof typeof exitCodes];

/**
 * The worst of several verdicts: one failed vehicle counts more than any number of unsure ones.
 *
 * `worstVerdict(["pass", "unsure"])` is `"unsure"`.
 */
export function worstVerdict(verdicts: readonly Findings["overall"][]): Findings["overall"] {
  if (verdicts.includes("fail")) return "fail";
  return verdicts.includes("unsure") ? "unsure" : "pass";
}
