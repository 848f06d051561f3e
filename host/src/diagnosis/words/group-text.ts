import type { Plan } from "../../plan/plan-schema.js";
import type { ConcreteFault } from "../hypotheses/concrete-fault.js";
import { faultPhrase } from "./fault-phrase.js";

/** Phrases that one group's text names at most. */
const mostPhrases = 6;

/**
 * One group in the words of the trade: `left rear tail lamp dead, or the wire of TM broken: the bench cannot tell these
 * apart`. Members come likeliest first; an empty list of faults means that nothing is wrong.
 */
export function groupText(plan: Plan, members: readonly (readonly ConcreteFault[])[]): string {
  const phrases = [...new Set(members.filter((faults) => faults.length > 0).map((faults) => together(plan, faults)))];
  const healthy = members.some((faults) => faults.length === 0);
  const named = listed(phrases);
  if (healthy) {
    return phrases.length === 0
      ? "nothing is wrong"
      : `nothing is wrong, as far as this bench can see (it would not notice: ${named})`;
  }
  return phrases.length > 1 ? `${named}: the bench cannot tell these apart` : named;
}

function together(plan: Plan, faults: readonly ConcreteFault[]): string {
  return faults.map((fault) => faultPhrase(plan, fault.fault)).join(" and ");
}

function listed(phrases: readonly string[]): string {
  const more = phrases.length - mostPhrases;
  const shown = more > 1 ? phrases.slice(0, mostPhrases) : phrases;
  return `${shown.join(", or ")}${more > 1 ? `, or one of ${more} more` : ""}`;
}
