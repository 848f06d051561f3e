import { type CircuitEvidence, driveIsOpen, lowCheckIsOpen, type WalkEvidence } from "../circuit-evidence.js";
import { inAmps, inVolts } from "./amounts.js";
import type { VerdictRule } from "./verdict-rule.js";

/**
 * No circuit at all finds its way back: one lost ground says more than as many broken wires at once. In a cable the far
 * ground then rises with whatever pin is driven.
 */
export const noGround: VerdictRule = {
  verdict: "no-ground",
  reasonFor: (circuit, walk) => farGroundFloats(circuit) ?? allAreOpen(circuit, walk),
};

function allAreOpen(circuit: CircuitEvidence, walk: WalkEvidence): string | undefined {
  const judgeable = walk.circuits.filter((other) => (other.restVolts ?? 0) < 1);
  if (judgeable.length < 2 || !judgeable.includes(circuit)) return undefined;
  const open = judgeable.filter((other) => isOpen(other, walk));
  if (open.length < judgeable.length) return undefined;
  const amps = circuit.drive?.amps;
  const carried =
    amps === undefined ? "" : ` ${inAmps(Math.max(0, amps))} instead of ${inAmps(circuit.healthy.amps.expected)} here.`;
  return `None of the ${judgeable.length} circuits finds a way back to the ground pin.${carried}`;
}

function isOpen(circuit: CircuitEvidence, walk: WalkEvidence): boolean {
  const drive = driveIsOpen(circuit, walk.readings);
  return drive ?? lowCheckIsOpen(circuit, walk.readings) ?? false;
}

function farGroundFloats({ drive, healthy }: CircuitEvidence): string | undefined {
  const farVolts = drive?.farVolts;
  if (drive === undefined || farVolts === undefined || healthy.farPin === undefined) return undefined;
  const own = drive.volts[healthy.pin] ?? 0;
  const all = Object.values(farVolts);
  if (own < 1 || all.length < 2 || drive.amps > 0.3 * healthy.amps.expected) return undefined;
  return all.every((volts) => volts > 0.7 * own)
    ? `Every far pin rises to ${inVolts(Math.min(...all))} and next to no current flows: the ground conductor does not go through.`
    : undefined;
}
