import type { Part } from "../circuit/network.js";
import { connectorOf, farConnectorOf } from "./connectors.js";
import { type FaultSet, foreignVoltsPerNominal } from "./fault-set.js";
import { healthyOhms, leastOhms } from "./healthy-ohms.js";
import type { PartsLibrary } from "./parts/parts-library.js";
import type { CablePlan } from "./plan-schema.js";
import { middleOf, runOhms, wireParts } from "./wire-part.js";

/** The far pin of the ground conductor, to which the tester's far loads go; without one, the far connector's own. */
export function farGroundPin(plan: CablePlan, groundPin: string): string {
  const conductor = plan.conductors.find((one) => one.near === groundPin);
  return conductor?.far ?? farConnectorOf(plan)?.pins.find((pin) => pin.function === "ground")?.pin ?? "";
}

/** Near pin — contact — wire — contact — far pin, and the far loads of the tester's far socket. */
export function cableNetwork(
  plan: CablePlan,
  groundPin: string,
  faults: FaultSet,
  ambientC: number,
  library: PartsLibrary,
): { parts: Part[]; lamps: [] } {
  const parts: Part[] = [];
  const farGround = farGroundPin(plan, groundPin);
  for (const conductor of plan.conductors) {
    const { near, far } = conductor;
    const contactOhms = Math.max(conductor.contactOhms ?? plan.contactOhms ?? healthyOhms.contact, leastOhms);
    const wireId = `wire:${near}`;
    parts.push(
      {
        kind: "resistor",
        id: `contact:${near}`,
        a: `pin:${near}`,
        b: `terminal:${faults.wireOn("pin", near)}`,
        ohms: contactOhms + faults.seriesOhms(`pin:${near}`),
      },
      ...wireParts(wireId, `terminal:${near}`, `end:${near}`, runOhms(conductor.wire, library, ambientC), faults),
      {
        kind: "resistor",
        id: `far-contact:${far}`,
        a: endOn(plan, faults.wireOn("far", far)),
        b: `far:${far}`,
        ohms: contactOhms + faults.seriesOhms(`far:${far}`),
      },
    );
    const shortOhms = faults.ohmsOf("short-to-ground", wireId);
    if (shortOhms !== undefined) {
      parts.push({
        kind: "resistor",
        id: `short:${wireId}`,
        a: middleOf(wireId),
        b: `terminal:${groundPin}`,
        ohms: shortOhms,
      });
    }
    const foreignOhms = faults.ohmsOf("short-to-power", `pin:${near}`);
    if (foreignOhms !== undefined) {
      const volts = plan.nominalVolts * foreignVoltsPerNominal;
      const minus = `pin:${groundPin}`;
      parts.push({ kind: "source", id: `foreign:${near}`, plus: `pin:${near}`, minus, volts, ohms: foreignOhms });
    }
  }
  parts.push(...emptyCavityParts(plan, faults));
  for (const { pin } of farConnectorOf(plan)?.pins ?? []) {
    if (pin === farGround) continue;
    parts.push({
      kind: "resistor",
      id: `far-load:${pin}`,
      a: `far:${pin}`,
      b: `far:${farGround}`,
      ohms: plan.farLoadOhms,
    });
  }
  for (const { first, second, ohms, at } of faults.bridges()) {
    parts.push({ kind: "resistor", id: `bridge:${at}`, a: middleOf(first), b: middleOf(second), ohms });
  }
  return { parts, lamps: [] };
}

/** Contacts of pins without a conductor of their own on whose terminal a swapped wire stands. */
function emptyCavityParts(plan: CablePlan, faults: FaultSet): Part[] {
  const ohms = Math.max(plan.contactOhms ?? healthyOhms.contact, leastOhms);
  const near = connectorOf(plan).pins.flatMap(({ pin }): Part[] => {
    const wire = faults.wireOn("pin", pin);
    if (wire === pin || plan.conductors.some((one) => one.near === pin)) return [];
    return [{ kind: "resistor", id: `contact:${pin}`, a: `pin:${pin}`, b: `terminal:${wire}`, ohms }];
  });
  const far = (farConnectorOf(plan)?.pins ?? []).flatMap(({ pin }): Part[] => {
    const wire = faults.wireOn("far", pin);
    if (wire === pin || plan.conductors.some((one) => one.far === pin)) return [];
    return [{ kind: "resistor", id: `far-contact:${pin}`, a: endOn(plan, wire), b: `far:${pin}`, ohms }];
  });
  return [...near, ...far];
}

/** The far end of the conductor that belongs on a far pin; a cavity without conductor has a terminal of its own. */
function endOn(plan: CablePlan, far: string): string {
  const conductor = plan.conductors.find((one) => one.far === far);
  return conductor === undefined ? `empty:${far}` : `end:${conductor.near}`;
}
