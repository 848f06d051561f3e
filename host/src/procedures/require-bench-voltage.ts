import type { Plan } from "../plan/plan-schema.js";
import { WalkTroubleError } from "./walk-trouble.js";

/** Nominal volts of what the bench may drive: its supply is a 12 V one, and its inputs end at 16.5 V. */
const nominalVoltsLow = 11;
const nominalVoltsHigh = 16;

/**
 * Throws where a vehicle's voltage is none that the bench may meet. A cable is driven into the bench's own loads, so any can be checked; a
 * vehicle must be one of 12 V.
 */
export function requireBenchVoltage(plan: Plan): void {
  if (plan.kind === "cable" || (plan.nominalVolts >= nominalVoltsLow && plan.nominalVolts <= nominalVoltsHigh)) return;
  throw new WalkTroubleError({
    code: "nominal-volts",
    message: `This plan is for ${plan.nominalVolts} V, and the bench supplies and measures 12 V: keep it off this vehicle.`,
  });
}
