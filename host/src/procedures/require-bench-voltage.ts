import type { Plan } from "../plan/plan-schema.js";
import { WalkTroubleError } from "./walk-trouble.js";

/** Nominal volts of what the bench may drive: its supply is a 12 V one, and its inputs end at 16.5 V. */
const nominalVoltsLow = 11;
const nominalVoltsHigh = 16;

/**
 * Why a vehicle's voltage is none that the bench may meet, or null. A cable is driven into the bench's own loads, so any can be
 * checked; a vehicle must be one of 12 V.
 */
export function benchVoltageHindrance(plan: Plan): string | null {
  if (plan.kind === "cable" || (plan.nominalVolts >= nominalVoltsLow && plan.nominalVolts <= nominalVoltsHigh))
    return null;
  return `This plan is for ${plan.nominalVolts} V, and the bench supplies and measures 12 V: keep it off this vehicle.`;
}

/** Throws where there is such a hindrance. */
export function requireBenchVoltage(plan: Plan): void {
  const message = benchVoltageHindrance(plan);
  if (message !== null) throw new WalkTroubleError({ code: "nominal-volts", message });
}
