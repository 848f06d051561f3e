import type { CircuitVerdict, Findings } from "@pinwalk/host/diagnosis/findings.js";

/** How a verdict stands on the page: each has a tone (colour), an icon and a word, and any two alone are enough. */
export type Tone = "pass" | "fail" | "unsure" | "none";

export interface VerdictWords {
  readonly word: string;
  readonly tone: Tone;
}

export const verdictWords: Readonly<Record<CircuitVerdict, VerdictWords>> = {
  pass: { word: "Pass", tone: "pass" },
  open: { word: "Open", tone: "fail" },
  "short-to-ground": { word: "Short to ground", tone: "fail" },
  "short-to-power": { word: "Short to power", tone: "fail" },
  bridged: { word: "Bridged", tone: "fail" },
  swapped: { word: "Swapped", tone: "fail" },
  "low-current": { word: "Current low", tone: "fail" },
  "high-current": { word: "Current high", tone: "fail" },
  "no-ground": { word: "No ground", tone: "fail" },
  "not-isolated": { word: "Not isolated", tone: "fail" },
  "not-judged": { word: "Not judged", tone: "unsure" },
};

export const overallWords: Readonly<Record<Findings["overall"], VerdictWords>> = {
  pass: { word: "Pass", tone: "pass" },
  fail: { word: "Fail", tone: "fail" },
  unsure: { word: "Unsure", tone: "unsure" },
};
