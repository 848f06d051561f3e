import { ampsUncertainty, type CircuitEvidence, type WalkEvidence } from "../circuit-evidence.js";
import { inAmps } from "./amounts.js";
import type { VerdictRule } from "./verdict-rule.js";

/** Two wires stand on each other's terminals: each pin shows the other's load, far end or lamps. */
export const swapped: VerdictRule = {
  verdict: "swapped",
  reasonFor: (circuit, walk) =>
    wrongFarEnd(circuit, walk) ?? exchangedLamps(circuit, walk) ?? exchangedLoads(circuit, walk),
};

function wrongFarEnd(circuit: CircuitEvidence, walk: WalkEvidence): string | undefined {
  const { farPin } = circuit.healthy;
  const arrives = farEndOf(circuit);
  if (farPin === undefined || arrives === undefined || arrives === farPin) return undefined;
  const owner = walk.circuits.find((other) => other.healthy.farPin === arrives);
  const whose = owner === undefined ? "" : `, where ${owner.healthy.pin} should end`;
  return `Near ${circuit.healthy.pin} comes out at far ${arrives}${whose}, not at far ${farPin}.`;
}

/** The one far pin that the conductor's voltage reaches, if it is exactly one. */
function farEndOf({ drive, low, healthy }: CircuitEvidence): string | undefined {
  const reading = drive !== undefined && !drive.tripped ? drive : low;
  const own = reading?.volts[healthy.pin];
  if (reading?.farVolts === undefined || own === undefined || own < 0.1) return undefined;
  const reached = Object.entries(reading.farVolts).filter(([, volts]) => volts > 0.5 * own);
  return reached.length === 1 ? reached[0]?.[0] : undefined;
}

function exchangedLamps(circuit: CircuitEvidence, walk: WalkEvidence): string | undefined {
  const lit = circuit.seen;
  if (lit === undefined || lit.length === 0) return undefined;
  const { lights, pin } = circuit.healthy;
  if (lit.some((lamp) => lights.includes(lamp))) return undefined;
  const owner = walk.circuits.find(
    (other) => other !== circuit && lit.every((lamp) => other.healthy.lights.includes(lamp)),
  );
  return owner && `Driving ${pin} lit ${lit.join(", ")}, which belongs to ${owner.healthy.pin}.`;
}

function exchangedLoads(circuit: CircuitEvidence, walk: WalkEvidence): string | undefined {
  if (circuit.healthy.farPin !== undefined || takesLoadOf(circuit, circuit, walk) !== false) return undefined;
  const partner = walk.circuits.find(
    (other) =>
      other !== circuit &&
      takesLoadOf(other, other, walk) === false &&
      takesLoadOf(circuit, other, walk) &&
      takesLoadOf(other, circuit, walk),
  );
  const amps = circuit.drive?.amps ?? 0;
  return (
    partner &&
    `${inAmps(amps)} here is the load of ${partner.healthy.pin} (${inAmps(partner.healthy.amps.expected)}), and the other way round.`
  );
}

/** True when the current measured at `circuit` lies in the band that `owner` should have. */
function takesLoadOf(
  circuit: CircuitEvidence,
  owner: CircuitEvidence,
  { readings }: WalkEvidence,
): boolean | undefined {
  const { drive } = circuit;
  if (drive === undefined) return undefined;
  if (drive.tripped) return false;
  const slack = ampsUncertainty(readings, drive.amps);
  return drive.amps > owner.healthy.amps.low - slack && drive.amps < owner.healthy.amps.high + slack;
}
