import type { Plan } from "../plan/plan-schema.js";
import type { Findings } from "./findings.js";
import type { ExplanationGroup } from "./group-explanations.js";
import { groupText } from "./words/group-text.js";

/**
 * How sure it must be that nothing is wrong before a walk without a fault counts as passed (a decision; no source). Every
 * healthy one of the made cases lies above 0.92.
 */
const leastBelief = 0.9;

/** The fault that readings within their bands still speak for: too faint for a verdict, too likely for a pass. */
export function faintFaults(plan: Plan, groups: readonly ExplanationGroup[]): Findings["notJudged"] {
  const isHealthy = ({ members }: ExplanationGroup): boolean => members.some(({ faults }) => faults.length === 0);
  const belief = groups.filter(isHealthy).reduce((sum, { probability }) => sum + probability, 0);
  const [likeliest] = groups.filter((group) => !isHealthy(group));
  if (belief >= leastBelief || likeliest === undefined) return [];
  const fewest = Math.min(...likeliest.members.map(({ faults }) => faults.length));
  const faults = likeliest.members.flatMap((member) => (member.faults.length === fewest ? [member.faults] : []));
  const text = groupText(plan, faults);
  return [{ what: "faint-faults", why: `All lies within its bands, yet a fault is too likely for a pass: ${text}.` }];
}
