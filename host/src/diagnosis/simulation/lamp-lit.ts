import type { PlanLamp } from "../../plan/plan-lamp.js";
import type { FaultedVehicle } from "./faulted-vehicle.js";
import type { OperatingPoint } from "./operating-point.js";

/** Chance that a person calls a lamp lit or dark wrongly, in daylight and with a reflector beside it (from memory, no source). */
const misjudged = 0.02;

/**
 * Chance that a person sees a lamp lit. A filament gives light as its voltage to the power 3.4 (lamp rerating): below a
 * quarter of its design volts it is dark, above half of them it is plainly lit. An LED lamp is dark below its knee.
 */
export function litChance(vehicle: FaultedVehicle, lamp: PlanLamp, point: OperatingPoint): number {
  const part = vehicle.parts.get(lamp.partIds[0] ?? "");
  const volts = (point.voltsOf(lamp.feedNode) ?? 0) - (point.voltsOf(lamp.returnNode) ?? 0);
  // A dead lamp stands in the network as an open resistor: whatever its voltage, it is dark.
  if (part === undefined || (part.kind === "resistor" && lamp.load.kind !== "resistor")) return misjudged;
  const dark = part.kind === "led" ? part.model.kneeVolts : 0.25 * lamp.load.designVolts;
  const bright = part.kind === "led" ? part.model.kneeVolts + 1.5 : 0.5 * lamp.load.designVolts;
  const share = Math.min(1, Math.max(0, (volts - dark) / (bright - dark)));
  return misjudged + (1 - 2 * misjudged) * share;
}
