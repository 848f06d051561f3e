import type { Adapter, PinChannel } from "../plan/adapter.js";
import type { Plan } from "../plan/plan-schema.js";

/** What a walk does with each pin, decided before anything is connected. */
export interface WalkPins {
  /** Looked at in every measurement: every near pin but the grounds, against which everything is measured. */
  readonly near: readonly PinChannel[];
  /** Every far pin of a cable plan, its grounds too: what they stand above the near ground is the ground conductor's drop. */
  readonly far: readonly PinChannel[];
  readonly lowCurrent: readonly PinChannel[];
  readonly drive: readonly PinChannel[];
  /** Circuits of the plan that are not driven, with the reason in words. */
  readonly undriven: readonly { readonly pin: string; readonly why: string }[];
}

/** Never driven at a vehicle, planned or not: it ends at a battery or a charger. */
const chargeFunction = "charge";

function plannedCircuits(plan: Plan): ReadonlyMap<string, string> {
  return plan.kind === "install"
    ? new Map(plan.circuits.map((circuit) => [circuit.pin, circuit.function]))
    : new Map(plan.conductors.map((conductor) => [conductor.near, "conductor"]));
}

/**
 * Which pins are measured, fed with a few milliamps, and driven.
 *
 * Low current goes into every pin that the bench can reach and that is no ground and not sense-only, so that a stray
 * wire on a pin without a circuit shows. Full supply goes only into circuits that are on the plan, and never into a
 * vehicle's charge line.
 */
export function walkPins(plan: Plan, adapter: Adapter, driveChannels: number): WalkPins {
  const planned = plannedCircuits(plan);
  const near = adapter.near.filter(({ pin }) => !adapter.groundPins.includes(pin));
  const lowCurrent = near.filter(({ pin, channel }) => channel < driveChannels && !adapter.senseOnly.includes(pin));
  const whyUndriven = (pin: string): string | undefined => {
    if (adapter.senseOnly.includes(pin)) return "the plan marks it as never to be driven";
    if (plan.kind === "install" && planned.get(pin) === chargeFunction) return "a charge line is never driven";
    if (!lowCurrent.some((candidate) => candidate.pin === pin)) return "the bench has no drive channel for this pin";
    return undefined;
  };
  const circuits = near.filter(({ pin }) => planned.has(pin));
  return {
    near,
    far: adapter.far,
    lowCurrent,
    drive: circuits.filter(({ pin }) => whyUndriven(pin) === undefined),
    undriven: circuits.flatMap(({ pin }) => {
      const why = whyUndriven(pin);
      return why === undefined ? [] : [{ pin, why }];
    }),
  };
}
