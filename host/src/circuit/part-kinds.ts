import { type Branch, LinearBranch } from "./branch.js";
import { DiodeBranch } from "./diode.js";
import { FilamentBranch } from "./filament.js";
import { LedBranch } from "./led.js";
import type { Part } from "./network.js";

/** How one kind of part looks to the solver. A new kind is one entry here and one file with its branch. */
interface PartKind<P extends Part> {
  /** First and second node; current is counted from first to second. */
  nodes(part: P): readonly [string, string];
  branch(part: P): Branch;
  /** Volts that tie the two nodes rigidly together, or undefined for an ordinary branch. */
  tieVolts?(part: P): number | undefined;
  /** What is wrong with the values, or undefined. */
  fault(part: P): string | undefined;
  /** False for a part that cannot hold a node's voltage (a current source). */
  readonly connects: boolean;
}

/**
 * Below this resistance, ohms, two nodes are tied: the rounding of the current through it would exceed the current law's
 * tolerance (13 V · 1e-16 / 20 µΩ = 7e-11 A).
 */
const tieOhms = 2e-5;

const finite = (value: number, name: string): string | undefined =>
  Number.isFinite(value) ? undefined : `${name} is not a number`;
const notNegative = (value: number, name: string): string | undefined =>
  value >= 0 && value < Number.POSITIVE_INFINITY ? undefined : `${name} must be 0 or more`;
const positive = (value: number, name: string): string | undefined =>
  value > 0 && value < Number.POSITIVE_INFINITY ? undefined : `${name} must be more than 0`;

export const partKinds: { readonly [K in Part["kind"]]: PartKind<Extract<Part, { kind: K }>> } = {
  resistor: {
    nodes: (part) => [part.a, part.b],
    branch: (part) => new LinearBranch(1 / part.ohms, 0),
    tieVolts: (part) => (part.ohms < tieOhms ? 0 : undefined),
    fault: (part) => notNegative(part.ohms, "ohms"),
    connects: true,
  },
  source: {
    nodes: (part) => [part.plus, part.minus],
    branch: (part) => new LinearBranch(1 / part.ohms, part.volts / part.ohms),
    tieVolts: (part) => (part.ohms < tieOhms ? part.volts : undefined),
    fault: (part) => finite(part.volts, "volts") ?? notNegative(part.ohms, "ohms"),
    connects: true,
  },
  "current-source": {
    nodes: (part) => [part.from, part.to],
    branch: (part) => new LinearBranch(0, -part.amps),
    fault: (part) => finite(part.amps, "amps"),
    connects: false,
  },
  diode: {
    nodes: (part) => [part.anode, part.cathode],
    branch: (part) => new DiodeBranch(part.model, part.celsius),
    fault: (part) =>
      positive(part.model.saturationAmps, "saturationAmps") ??
      positive(part.model.ideality, "ideality") ??
      notNegative(part.model.seriesOhms, "seriesOhms") ??
      finite(part.celsius, "celsius"),
    connects: true,
  },
  filament: {
    nodes: (part) => [part.a, part.b],
    branch: (part) => new FilamentBranch(part.model, part.celsius),
    fault: (part) =>
      positive(part.model.designVolts, "designVolts") ??
      positive(part.model.designAmps, "designAmps") ??
      finite(part.celsius, "celsius"),
    connects: true,
  },
  led: {
    nodes: (part) => [part.anode, part.cathode],
    branch: (part) => new LedBranch(part.model),
    fault: (part) =>
      positive(part.model.amps, "amps") ??
      positive(part.model.kneeVolts, "kneeVolts") ??
      (part.model.regulated !== true && !(part.model.volts > part.model.kneeVolts)
        ? "volts must lie above kneeVolts"
        : undefined),
    connects: true,
  },
};

/** The table's row for a part, typed for it. */
export function kindOf<P extends Part>(part: P): PartKind<P> {
  return partKinds[part.kind] as unknown as PartKind<P>;
}
