import { solve } from "../../circuit/solve.js";
import type { Connector, ConnectorPin } from "../connectors/connector.js";
import { connectorOf } from "../connectors.js";
import type { PartsLibrary } from "../parts/parts-library.js";
import { type PlanNetwork, planNetwork } from "../plan-network.js";
import type { Circuit, Feed, InstallPlan } from "../plan-schema.js";

/** What every rule of an install plan's check looks at: the plan, and its network with all circuits lit together. */
export interface InstallContext {
  readonly plan: InstallPlan;
  readonly library: PartsLibrary;
  readonly connector: Connector;
  readonly built: PlanNetwork;
  /** Supply at every pin, volts. */
  readonly supplyVolts: number;
  /** Current of a part with every circuit lit, amps. */
  amps(partId: string): number;
  /** Volts across a part's two nodes, by node name. */
  volts(node: string): number;
  pinOf(pin: string): ConnectorPin | undefined;
}

/** A feed with the circuit it belongs to. */
export interface PlacedFeed {
  readonly circuit: Circuit;
  readonly feed: Feed;
  /** `LT/left-rear.bright`. */
  readonly name: string;
}

/** Solves the plan with `supplyVolts` on every circuit at once: the case in which wires and ground carry most. */
export function installContext(
  plan: InstallPlan,
  library: PartsLibrary,
  supplyVolts: number,
  ambientC: number,
): InstallContext {
  const built = planNetwork(plan, { ambientC, library });
  const minus = built.reference;
  const supplies = plan.circuits.map((circuit) => {
    const id = `supply:${circuit.pin}`;
    return { kind: "source", id, plus: built.pinNode(circuit.pin), minus, volts: supplyVolts, ohms: 0.001 } as const;
  });
  const solution = solve({ reference: built.reference, parts: [...built.parts, ...supplies] });
  if (solution.kind !== "solved") throw new Error("the plan's network has no operating point");
  const connector = connectorOf(plan);
  return {
    plan,
    library,
    connector,
    built,
    supplyVolts,
    amps: (partId) => Math.abs(solution.amps.get(partId) ?? 0),
    volts: (node) => solution.volts.get(node) ?? 0,
    pinOf: (pin) => connector.pins.find((one) => one.pin === pin),
  };
}

export function placedFeeds(plan: InstallPlan): PlacedFeed[] {
  return plan.circuits.flatMap((circuit) =>
    circuit.feeds.map((feed) => ({ circuit, feed, name: `${circuit.pin}/${feed.to}` })),
  );
}
