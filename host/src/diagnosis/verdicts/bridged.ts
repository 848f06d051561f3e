import { type CircuitEvidence, voltsUncertainty, type WalkEvidence } from "../circuit-evidence.js";
import { inVolts } from "./amounts.js";
import type { VerdictRule } from "./verdict-rule.js";

/** Another pin that rises at least to this part of the fed pin's voltage is joined to it. */
const followsFromPart = 0.6;

/** Two pins rise together that should not. */
export const bridged: VerdictRule = {
  verdict: "bridged",
  reasonFor: (circuit, walk) => {
    const partners = new Map<string, number>();
    for (const other of walk.circuits) {
      if (other === circuit || isLive(other) || isLive(circuit)) continue;
      const volts = follows(circuit, other, walk) ?? follows(other, circuit, walk);
      if (volts !== undefined) partners.set(other.healthy.pin, volts);
    }
    if (partners.size === 0) return undefined;
    const [[, volts] = ["", 0]] = partners;
    return `${circuit.healthy.pin} and ${[...partners.keys()].join(", ")} rise together (${inVolts(volts)}): a joint between them.`;
  },
};

/** A pin with a foreign supply on it rises by itself, not with another. */
function isLive({ restVolts }: CircuitEvidence): boolean {
  return (restVolts ?? 0) > 1;
}

/** Volts of `other` while `fed` is fed, when they show a joint. */
function follows(fed: CircuitEvidence, other: CircuitEvidence, { readings }: WalkEvidence): number | undefined {
  const from = fed.healthy.pin;
  const to = other.healthy.pin;
  const pairs: [Readonly<Record<string, number>> | undefined, Readonly<Record<string, number>>][] = [
    [fed.low?.volts, fed.healthy.lowVolts],
    [fed.drive?.tripped ? undefined : fed.drive?.volts, fed.healthy.driveVolts],
  ];
  for (const [measured, healthy] of pairs) {
    const own = measured?.[from];
    const volts = measured?.[to];
    if (own === undefined || volts === undefined) continue;
    const surplus = volts - Math.max(0, healthy[to] ?? 0) - 4 * voltsUncertainty(readings, volts);
    if (surplus > 0 && volts > followsFromPart * own) return volts;
  }
  return undefined;
}
