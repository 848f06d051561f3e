/** One thing that was tested of the bench, and what to look at when it is not as it should be. */
export interface SelfTestItem {
  readonly id: string;
  readonly verdict: "pass" | "fail" | "unsure" | "not-tested";
  /** What was found, in one sentence. */
  readonly words: string;
  /** Absent for what passed. */
  readonly lookAt?: string;
}

/** An item that passes or fails by one condition. */
export function testedItem(id: string, isRight: boolean, words: string, lookAt: string): SelfTestItem {
  return isRight ? { id, verdict: "pass", words } : { id, verdict: "fail", words, lookAt };
}

/** The worst of all; what was not tested says nothing. */
export function overallOf(items: readonly SelfTestItem[]): "pass" | "fail" | "unsure" {
  if (items.some(({ verdict }) => verdict === "fail")) return "fail";
  return items.length === 0 || items.some(({ verdict }) => verdict === "unsure") ? "unsure" : "pass";
}
