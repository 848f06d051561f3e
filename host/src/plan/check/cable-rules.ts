import { connectorOf, farConnectorOf } from "../connectors.js";
import type { PartsLibrary } from "../parts/parts-library.js";
import type { CablePlan } from "../plan-schema.js";
import { wireOf } from "../wire-part.js";
import { colours } from "./colours.js";
import { figure, practice, type Remark } from "./remark.js";
import { wireWithArea } from "./wire-current.js";

/** The check of a cable: what leads where, colours, conductors thinner than their connector asks, the ground's size. */
export function cableRules(plan: CablePlan, library: PartsLibrary): Remark[] {
  const near = connectorOf(plan);
  const wires = plan.conductors.map(({ near: pin, wire }) => ({ pin, colour: wire.colour }));
  return [
    ...whatLeadsWhere(plan),
    ...thinConductors(plan, library),
    ...groundOf(plan, library),
    ...colours(near, plan.colourConvention, wires),
    ...emptyPins(plan),
  ];
}

function whatLeadsWhere(plan: CablePlan): Remark[] {
  const near = connectorOf(plan);
  const far = farConnectorOf(plan);
  return plan.conductors.flatMap((conductor): Remark[] => {
    const from = near.pins.find((pin) => pin.pin === conductor.near);
    const to = far?.pins.find((pin) => pin.pin === conductor.far);
    if (from === undefined || to === undefined || from.function === to.function) return [];
    const where = `wire:${conductor.near}`;
    const loose = [from.function, to.function].includes("auxiliary");
    const text = `Near pin ${conductor.near} (${from.use}) leads to far pin ${conductor.far} (${to.use}).`;
    return [{ code: "functions-differ", severity: loose ? "note" : "warning", text, source: to.source, where }];
  });
}

function thinConductors(plan: CablePlan, library: PartsLibrary): Remark[] {
  return plan.conductors.flatMap((conductor): Remark[] => {
    const asked = [
      { end: "near", ...connectorOf(plan).pins.find((pin) => pin.pin === conductor.near) },
      { end: "far", ...farConnectorOf(plan)?.pins.find((pin) => pin.pin === conductor.far) },
    ];
    const { squareMm } = wireOf(conductor.wire, library);
    return asked.flatMap(({ end, conductor: one }): Remark[] => {
      if (one === undefined) return [];
      const least = library.wires.find((wire) => wire.system === one.system && wire.size === one.size);
      if (least === undefined || squareMm >= 0.95 * least.squareMm) return [];
      const text = `${wireWithArea(conductor.wire, squareMm)} from near pin ${conductor.near} is thinner than the ${figure(least.squareMm)} mm² that the ${end} connector asks for.`;
      const where = `wire:${conductor.near}`;
      return [
        {
          code: "wire-thin",
          severity: "note",
          text,
          value: squareMm,
          limit: least.squareMm,
          unit: "mm²",
          source: one.source,
          where,
        },
      ];
    });
  });
}

function groundOf(plan: CablePlan, library: PartsLibrary): Remark[] {
  const groundPins = connectorOf(plan)
    .pins.filter((pin) => pin.function === "ground")
    .map((pin) => pin.pin);
  const grounds = plan.conductors.filter((conductor) => groundPins.includes(conductor.near));
  if (grounds.length === 0) {
    const text = "No conductor of this cable is a ground: every signal would have to return some other way.";
    return [{ code: "no-ground", severity: "problem", text, source: practice, where: "plan" }];
  }
  const area = (list: readonly (typeof plan.conductors)[number][]): number =>
    list.reduce((sum, conductor) => sum + wireOf(conductor.wire, library).squareMm, 0);
  const live = plan.conductors.filter((conductor) => !groundPins.includes(conductor.near));
  const thickest = Math.max(0, ...live.map((conductor) => wireOf(conductor.wire, library).squareMm));
  const groundArea = area(grounds);
  const where = `wire:${grounds[0]?.near ?? ""}`;
  if (groundArea < 0.95 * thickest) {
    const text = `The ground (${figure(groundArea)} mm²) is thinner than the thickest conductor it returns (${figure(thickest)} mm²).`;
    return [
      {
        code: "ground-thin",
        severity: "warning",
        text,
        value: groundArea,
        limit: thickest,
        unit: "mm²",
        source: practice,
        where,
      },
    ];
  }
  const sum = area(live);
  if (groundArea >= 0.95 * sum) return [];
  const text = `The ground (${figure(groundArea)} mm²) is thinner than the sum of the conductors it returns (${figure(sum)} mm²).`;
  return [
    {
      code: "ground-thinner-than-sum",
      severity: "note",
      text,
      value: groundArea,
      limit: sum,
      unit: "mm²",
      source: practice,
      where,
    },
  ];
}

function emptyPins(plan: CablePlan): Remark[] {
  const ends = [
    {
      name: "near",
      pins: connectorOf(plan).pins,
      used: plan.conductors.map((conductor) => conductor.near),
      place: "pin",
    },
    { name: "far", pins: farConnectorOf(plan)?.pins ?? [], used: plan.conductors.map((one) => one.far), place: "far" },
  ];
  return ends.flatMap(({ name, pins, used, place }) =>
    pins
      .filter((pin) => !used.includes(pin.pin))
      .map((pin): Remark => {
        const text = `The ${name} pin ${pin.pin} (${pin.use}) has no conductor.`;
        return { code: "pin-empty", severity: "note", text, source: "the plan", where: `${place}:${pin.pin}` };
      }),
  );
}
