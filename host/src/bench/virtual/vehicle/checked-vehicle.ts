import { type Fault, faultProblem } from "../../../plan/fault.js";
import { parsePlan } from "../../../plan/parse-plan.js";
import { defaultLibrary, type PartsLibrary } from "../../../plan/parts/parts-library.js";
import type { Plan } from "../../../plan/plan-schema.js";
import { VirtualBenchError } from "../virtual-bench-error.js";

/** What hangs on the connector: a plan (as JSON or parsed) with the faults that are built into it. */
export interface Vehicle {
  readonly plan: unknown;
  readonly faults?: readonly Fault[];
  /** The parts that the plan names; the built-in tables if absent. */
  readonly library?: PartsLibrary;
}

/** The same, checked: every part and place exists. */
export interface CheckedVehicle {
  readonly plan: Plan;
  readonly faults: readonly Fault[];
  readonly library: PartsLibrary;
}

/** Checks a plan and the places of its faults; throws `bad-plan` or `bad-fault` with every problem in the message. */
export function checkedVehicle(vehicle: Vehicle): CheckedVehicle {
  const library = vehicle.library ?? defaultLibrary;
  const parsed = parsePlan(vehicle.plan, library);
  if (!parsed.ok) {
    const problems = parsed.problems.map(({ path, message }) => (path === "" ? message : `${path}: ${message}`));
    throw new VirtualBenchError("bad-plan", `The plan cannot be used. ${problems.join("; ")}`);
  }
  const faults = vehicle.faults ?? [];
  for (const fault of faults) {
    const problem = faultProblem(fault, parsed.plan, library);
    if (problem !== undefined) throw new VirtualBenchError("bad-fault", problem);
  }
  return { plan: parsed.plan, faults, library };
}
