import { attachBench } from "../plan/attach-bench.js";
import type { CircuitFunction } from "../plan/circuit-function.js";
import { planNetwork } from "../plan/plan-network.js";
import type { Plan } from "../plan/plan-schema.js";

/** One thing that a person switches on in the vehicle, and the functions of the plan's lamps that it feeds. */
export interface BackFeedAsk {
  readonly id: string;
  readonly functions: readonly CircuitFunction[];
  /** What to switch, as the end of “switch on: …”. */
  readonly text: string;
}

const switches: Readonly<Partial<Record<CircuitFunction, string>>> = {
  tail: "the tail lamps",
  "left-stop-turn": "the left turn signal",
  "right-stop-turn": "the right turn signal",
  stop: "the stop lamps, with the brake pedal",
  "left-turn": "the left turn signal",
  "right-turn": "the right turn signal",
  reverse: "the reversing lamps",
  "rear-fog": "the rear fog lamp",
};

/** The vehicle's own functions whose lamps a plan shares with the tow vehicle, in the order in which they are asked for. */
export function backFeedAsks(plan: Plan): readonly BackFeedAsk[] {
  if (plan.kind === "cable") return [];
  const fed = new Set(plan.circuits.filter(({ feeds }) => feeds.length > 0).map((circuit) => circuit.function));
  const single = Object.entries(switches).flatMap(([name, text]) => {
    const found = [...fed].find((one) => one === name);
    return found === undefined ? [] : [{ id: found, functions: [found], text }];
  });
  // Where stop and turn share a filament, the pedal feeds both sides at once.
  const sides = ["left-stop-turn", "right-stop-turn"] as const;
  const pedal = { id: "pedal", functions: sides, text: "the stop lamps on both sides, with the brake pedal" };
  return sides.every((side) => fed.has(side)) ? [...single, pedal] : single;
}

/**
 * Volts above what a healthy vehicle leaks that count as back-feed. Over the bench's 133 kΩ half a volt is 4 µA: above the
 * leakage of a sound silicon diode at room temperature (from memory) and ten times the uncertainty of an uncalibrated bench.
 */
export const backFeedMarginVolts = 0.5;

/** Volts that each pin of a vehicle without a fault may show while the ask's functions are on, margin included. */
export function backFeedLimits(plan: Plan, { functions }: BackFeedAsk): Readonly<Record<string, number>> {
  const bench = attachBench(planNetwork(plan));
  bench.rest();
  bench.vehicle(functions);
  const solved = bench.run().kind === "solved";
  return Object.fromEntries(
    bench.built.pins.map((pin) => [pin, (solved ? Math.max(0, bench.pinVolts(pin)) : 0) + backFeedMarginVolts]),
  );
}
