import type { Network, Part } from "../circuit/network.js";
import { cableNetwork } from "./cable-network.js";
import { connectorOf, farConnectorOf } from "./connectors.js";
import { type Fault, faultProblem } from "./fault.js";
import { FaultSet } from "./fault-set.js";
import { installNetwork } from "./install-network.js";
import { defaultLibrary, type PartsLibrary } from "./parts/parts-library.js";
import type { PlanLamp } from "./plan-lamp.js";
import type { Plan } from "./plan-schema.js";

/**
 * A plan as a network without a tester: contacts, wires, diodes, lamps, chassis. The reference is the tester's side of
 * the near ground pin's contact, where the tester's ground sits.
 *
 * Part ids: `contact:P` `wire:P` (second half of a touched wire `wire:P/2`) `feed:P/S.F` `diode:P/S.F` `lamp:S.F`
 * `factory-diode:S.F` `factory-load:S.F/0` `socket-ground:S` `ground-bond`; in a cable `far-contact:Q` `far-load:Q`;
 * faults add `short:PLACE` `bridge:PLACE` `foreign:P`.
 */
export interface PlanNetwork {
  readonly plan: Plan;
  readonly parts: readonly Part[];
  readonly reference: string;
  /** Every pin of the near connector but the ground pin. */
  readonly pins: readonly string[];
  /** Every pin of the far connector; empty for an install plan. */
  readonly farPins: readonly string[];
  readonly groundPin: string;
  /** The vehicle's chassis; undefined for a cable. */
  readonly chassisNode: string | undefined;
  readonly lamps: readonly PlanLamp[];
  pinNode(pin: string): string;
  farPinNode(pin: string): string;
}

export interface PlanNetworkOptions {
  readonly faults?: readonly Fault[];
  readonly ambientC?: number;
  readonly library?: PartsLibrary;
}

/** Builds a plan's network with faults in it. Throws RangeError, in words for people, for a fault the plan has no place for. */
export function planNetwork(plan: Plan, options: PlanNetworkOptions = {}): PlanNetwork {
  const library = options.library ?? defaultLibrary;
  for (const fault of options.faults ?? []) {
    const problem = faultProblem(fault, plan, library);
    if (problem !== undefined) throw new RangeError(problem);
  }
  const faults = new FaultSet(options.faults ?? []);
  const ambientC = options.ambientC ?? 20;
  const connector = connectorOf(plan);
  const groundPin =
    plan.kind === "install" ? plan.ground.pin : (connector.pins.find((pin) => pin.function === "ground")?.pin ?? "");
  const built =
    plan.kind === "install"
      ? installNetwork(plan, faults, ambientC, library)
      : cableNetwork(plan, groundPin, faults, ambientC, library);
  return {
    plan,
    parts: built.parts,
    reference: `pin:${groundPin}`,
    pins: connector.pins.map((pin) => pin.pin).filter((pin) => pin !== groundPin),
    farPins: (farConnectorOf(plan)?.pins ?? []).map((pin) => pin.pin),
    groundPin,
    chassisNode: plan.kind === "install" ? "chassis" : undefined,
    lamps: built.lamps,
    pinNode: (pin) => `pin:${pin}`,
    farPinNode: (pin) => `far:${pin}`,
  };
}

/** The bare network; pins that nothing is wired to are not in it until a tester is attached. */
export function bareNetwork(built: PlanNetwork): Network {
  return { reference: built.reference, parts: built.parts };
}
