import { type CircuitEvidence, voltsUncertainty, type WalkEvidence } from "../circuit-evidence.js";
import { inAmps, inVolts } from "./amounts.js";
import type { VerdictRule } from "./verdict-rule.js";

/** The pin's current finds ground without the load. */
export const shortToGround: VerdictRule = {
  verdict: "short-to-ground",
  reasonFor: (circuit, walk) => {
    const { drive, healthy } = circuit;
    if (drive?.tripped && healthy.amps.high < walk.readings.source.tripAmps) {
      return `The current limit ended the drive at ${inAmps(Math.max(drive.amps, drive.peakAmps ?? 0))}; ${inAmps(healthy.amps.expected)} was expected.`;
    }
    return drive === undefined ? lowCheckIsShort(circuit, walk) : undefined;
  },
};

/** Without a drive, only a load that should have held the low-current check up tells a short from a cold filament. */
function lowCheckIsShort({ low, healthy }: CircuitEvidence, { readings }: WalkEvidence): string | undefined {
  const volts = low?.volts[healthy.pin];
  const expected = healthy.lowVolts[healthy.pin] ?? 0;
  if (volts === undefined || expected < 0.15) return undefined;
  return volts < 3 * voltsUncertainty(readings, 0) && volts < 0.3 * expected
    ? `${inVolts(Math.max(0, volts))} in the low-current check instead of ${inVolts(expected)}: a way to ground before the load.`
    : undefined;
}
