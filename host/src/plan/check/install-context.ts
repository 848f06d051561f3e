import type { Connector, ConnectorPin } from "../connectors/connector.js";
import { connectorOf } from "../connectors.js";
import type { PartsLibrary } from "../parts/parts-library.js";
import { type PlanNetwork, planNetwork } from "../plan-network.js";
import type { Circuit, Feed, InstallPlan } from "../plan-schema.js";
import { type LitCase, litCases } from "./lit-case.js";

/** What every rule of an install plan's check looks at: the plan, and its network with circuits lit. */
export interface InstallContext {
  readonly plan: InstallPlan;
  readonly library: PartsLibrary;
  readonly connector: Connector;
  readonly built: PlanNetwork;
  /** Supply at every pin, volts. */
  readonly supplyVolts: number;
  /** The most that a part carries in any case, amps. */
  amps(partId: string): number;
  /** Of the cases that light one of the pins at least, the one in which a figure is largest. */
  worst(pins: readonly string[], figureOf: (lit: LitCase) => number): LitCase;
  pinOf(pin: string): ConnectorPin | undefined;
}

/** A feed with the circuit it belongs to. */
export interface PlacedFeed {
  readonly circuit: Circuit;
  readonly feed: Feed;
  /** `LT/left-rear.bright`. */
  readonly name: string;
}

/** A plan's network with `supplyVolts` on its pins. */
export function installContext(
  plan: InstallPlan,
  library: PartsLibrary,
  supplyVolts: number,
  ambientC: number,
): InstallContext {
  const built = planNetwork(plan, { ambientC, library });
  const cases = litCases(plan, built, supplyVolts);
  const connector = connectorOf(plan);
  return {
    plan,
    library,
    connector,
    built,
    supplyVolts,
    amps: (partId) => Math.max(...cases.map((lit) => lit.amps(partId))),
    worst: (pins, figureOf) => {
      const lit = cases.filter((one) => one.pins.some((pin) => pins.includes(pin)));
      return lit.reduce((worst, one) => (figureOf(one) > figureOf(worst) ? one : worst));
    },
    pinOf: (pin) => connector.pins.find((one) => one.pin === pin),
  };
}

export function placedFeeds(plan: InstallPlan): PlacedFeed[] {
  return plan.circuits.flatMap((circuit) =>
    circuit.feeds.map((feed) => ({ circuit, feed, name: `${circuit.pin}/${feed.to}` })),
  );
}
