import type { Findings } from "@pinwalk/host/diagnosis/findings.js";
import type { Fault } from "@pinwalk/host/plan/fault.js";
import type { Plan } from "@pinwalk/host/plan/plan-schema.js";
import type { Readings } from "@pinwalk/host/readings/readings.js";

export interface Distance {
  readonly faults: readonly Fault[];
  /** From the likeliest explanation, in standard deviations. */
  readonly apart: number;
}

export interface GroupDistances {
  /** Of the other members of the first group. */
  readonly within: readonly Distance[];
  /** Of the likeliest members of the other groups. */
  readonly between: readonly Distance[];
}

export function measureGroups(
  plan: Plan,
  readings: Readings,
  findings: Pick<Findings, "explanations">,
  mostMembers?: number,
): GroupDistances;
