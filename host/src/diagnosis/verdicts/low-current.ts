import { ampsUncertainty, type CircuitEvidence, voltsUncertainty, type WalkEvidence } from "../circuit-evidence.js";
import { inAmps, inOhms, inVolts } from "./amounts.js";
import type { VerdictRule } from "./verdict-rule.js";

/** Less current than lamps, wires and supply explain; in a cable, a voltage that does not arrive. */
export const lowCurrent: VerdictRule = {
  verdict: "low-current",
  reasonFor: (circuit, walk) => lostOnTheWay(circuit, walk) ?? underBand(circuit, walk) ?? weakInrush(circuit, walk),
};

function underBand({ drive, healthy }: CircuitEvidence, { readings }: WalkEvidence): string | undefined {
  if (drive === undefined || drive.tripped) return undefined;
  return drive.amps + ampsUncertainty(readings, drive.amps) < healthy.amps.low
    ? `${inAmps(drive.amps)} instead of ${inAmps(healthy.amps.expected)} (at least ${inAmps(healthy.amps.low)}): a lamp missing or a resistance in the way.`
    : undefined;
}

/**
 * A cold filament is nearly a short, so that a resistance of an ohm shows in the inrush long before it shows in the
 * settled current. Lamps and sampling scatter the inrush by some 15 %; this is three times that.
 */
const weakInrushPart = 0.58;

/** Below this the bench's inrush amplifier says little, amps. */
const leastInrushAmps = 2;

function weakInrush(circuit: CircuitEvidence, walk: WalkEvidence): string | undefined {
  const { drive, healthy } = circuit;
  if (drive?.peakAmps === undefined || drive.tripped || mayBeWarm(circuit, walk)) return undefined;
  if (healthy.inrushAmps < leastInrushAmps || healthy.inrushAmps < 3 * healthy.amps.expected) return undefined;
  return drive.peakAmps < weakInrushPart * healthy.inrushAmps
    ? `The inrush reached ${inAmps(drive.peakAmps)} only, where cold lamps should draw about ${inAmps(healthy.inrushAmps)}: a resistance in the way.`
    : undefined;
}

/** So much on this pin while another is driven means that its lamps got something of that, volts. */
const warmingVolts = 0.5;

/** Whether another pin's drive may have lit what this one lights: lamps that are still warm draw no inrush to speak of. */
function mayBeWarm({ healthy, drive }: CircuitEvidence, { circuits }: WalkEvidence): boolean {
  if ((drive?.amps ?? 0) > healthy.amps.high) return true;
  return circuits.some((other) => {
    if (other.healthy.pin === healthy.pin || other.drive === undefined) return false;
    const fed = (other.drive.volts[healthy.pin] ?? 0) > warmingVolts;
    return fed || other.healthy.lights.some((lamp) => healthy.lights.includes(lamp));
  });
}

/** A conductor may lose this much of the driven voltage before it counts, volts (common practice, no source). */
const allowedLossVolts = 0.1;

function lostOnTheWay({ drive, healthy }: CircuitEvidence, { readings }: WalkEvidence): string | undefined {
  if (drive === undefined || drive.tripped || healthy.farPin === undefined || drive.amps < 0.05) return undefined;
  const near = drive.volts[healthy.pin];
  const far = drive.farVolts?.[healthy.farPin];
  if (near === undefined || far === undefined) return undefined;
  const doubt = 1.5 * Math.hypot(voltsUncertainty(readings, near), voltsUncertainty(readings, far));
  const lost = near - far;
  return lost > allowedLossVolts + doubt
    ? `${inVolts(lost)} lost between near ${healthy.pin} and far ${healthy.farPin} at ${inAmps(drive.amps)}: about ${inOhms(lost / drive.amps)} too much.`
    : undefined;
}
