import { type Fault, faultProblem } from "../../../plan/fault.js";
import { parsePlan } from "../../../plan/parse-plan.js";
import type { Plan } from "../../../plan/plan-schema.js";
import { VirtualBenchError } from "../virtual-bench-error.js";

/** What hangs on the connector: a plan (as JSON or parsed) with the faults that are built into it. */
export interface Vehicle {
  readonly plan: unknown;
  readonly faults?: readonly Fault[];
}

/** Checks a plan and the places of its faults; throws `bad-plan` or `bad-fault` with every problem in the message. */
export function checkedVehicle(vehicle: Vehicle): { readonly plan: Plan; readonly faults: readonly Fault[] } {
  const parsed = parsePlan(vehicle.plan);
  if (!parsed.ok) {
    const problems = parsed.problems.map(({ path, message }) => (path === "" ? message : `${path}: ${message}`));
    throw new VirtualBenchError("bad-plan", `The plan cannot be used. ${problems.join("; ")}`);
  }
  const faults = vehicle.faults ?? [];
  for (const fault of faults) {
    const problem = faultProblem(fault, parsed.plan);
    if (problem !== undefined) throw new VirtualBenchError("bad-fault", problem);
  }
  return { plan: parsed.plan, faults };
}
