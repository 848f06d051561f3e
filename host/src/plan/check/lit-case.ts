import { type Solution, solve } from "../../circuit/solve.js";
import type { PlanNetwork } from "../plan-network.js";
import type { InstallPlan } from "../plan-schema.js";

/** A switch that is off: much more than any lamp, and still enough to hold a wire that leads nowhere at 0 V, ohms. */
const openOhms = 1e7;

/** An operating point of a plan's network: which circuits have the supply, and what flows then. */
export interface LitCase {
  readonly pins: readonly string[];
  /** Current of a part, amps, whichever way. */
  amps(partId: string): number;
  /** Volts of a node. */
  volts(node: string): number;
}

/**
 * The cases in which something of an install plan carries most: every circuit lit, and, where two circuits feed one lamp,
 * each circuit alone, as then it carries the whole lamp.
 */
export function litCases(plan: InstallPlan, built: PlanNetwork, supplyVolts: number): readonly LitCase[] {
  const pins = plan.circuits.map((circuit) => circuit.pin);
  const fed = plan.circuits.flatMap((circuit) => circuit.feeds.map((feed) => feed.to));
  const shared = new Set(fed).size < fed.length && pins.length > 1;
  return [pins, ...(shared ? pins.map((pin) => [pin]) : [])].map((lit) => litCase(plan, built, lit, supplyVolts));
}

function litCase(plan: InstallPlan, built: PlanNetwork, pins: readonly string[], volts: number): LitCase {
  const minus = built.reference;
  const supplies = plan.circuits.map(({ pin }) => {
    const base = { kind: "source", id: `supply:${pin}`, plus: built.pinNode(pin), minus } as const;
    return pins.includes(pin) ? { ...base, volts, ohms: 0.001 } : { ...base, volts: 0, ohms: openOhms };
  });
  const solution: Solution = solve({ reference: built.reference, parts: [...built.parts, ...supplies] });
  if (solution.kind !== "solved") throw new Error("the plan's network has no operating point");
  return {
    pins,
    amps: (partId) => Math.abs(solution.amps.get(partId) ?? 0),
    volts: (node) => solution.volts.get(node) ?? 0,
  };
}
