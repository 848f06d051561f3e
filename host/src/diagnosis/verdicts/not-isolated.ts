import { type CircuitEvidence, voltsUncertainty, type WalkEvidence } from "../circuit-evidence.js";
import { inVolts } from "./amounts.js";
import type { VerdictRule } from "./verdict-rule.js";

/** The vehicle can feed the tow connector: seen directly, or from a diode whose drop is missing in the low-current check. */
export const notIsolated: VerdictRule = {
  verdict: "not-isolated",
  reasonFor: (circuit, walk) => backFed(circuit, walk) ?? dropMissing(circuit, walk),
};

function backFed({ healthy, restVolts }: CircuitEvidence, { readings }: WalkEvidence): string | undefined {
  if ((restVolts ?? 0) > 1) return undefined;
  for (const reading of readings.backFeed ?? []) {
    const volts = reading.volts[healthy.pin];
    if (volts === undefined) continue;
    if (volts > (healthy.backFeedVolts[reading.vehicle.join("+")] ?? 0) + 1) {
      return `${inVolts(volts)} on the pin while the vehicle's own ${reading.vehicle.join(", ")} is on: nothing holds it back.`;
    }
  }
  return undefined;
}

function dropMissing({ low, drive, healthy }: CircuitEvidence, { readings }: WalkEvidence): string | undefined {
  const volts = low?.volts[healthy.pin];
  const expected = healthy.lowVolts[healthy.pin] ?? 0;
  if (volts === undefined || drive === undefined || drive.tripped || expected < 0.15) return undefined;
  const doubt = 4 * voltsUncertainty(readings, volts);
  return volts < 0.5 * expected - doubt
    ? `${inVolts(Math.max(0, volts))} in the low-current check instead of ${inVolts(expected)}: the isolation diode's drop is missing.`
    : undefined;
}
