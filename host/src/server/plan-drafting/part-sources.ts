import { wireName } from "../../plan/check/wire-current.js";
import { connectorOf, farConnectorOf } from "../../plan/connectors.js";
import type { Bulb } from "../../plan/parts/bulb.js";
import type { IsolationDiode } from "../../plan/parts/diodes.js";
import { defaultLibrary, findBulb, findDiode, findWire } from "../../plan/parts/parts-library.js";
import type { Wire } from "../../plan/parts/wires.js";
import type { Plan, WireRun } from "../../plan/plan-schema.js";
import type { PartSource } from "./drafting-contract.js";

const figure = (value: number) => String(Number(value.toPrecision(3)));

/** `2.1 A at 12.8 V; dim 0.59 A at 14 V`. */
export function bulbFigures({ bright, dim }: Bulb): string {
  const rated = ({ amps, volts }: Bulb["bright"]) => `${figure(amps)}\u00a0A at ${figure(volts)}\u00a0V`;
  return dim ? `bright ${rated(bright)}, dim ${rated(dim)}` : rated(bright);
}

/** What a wire is for a person who chooses one. */
export function wireFigures({ squareMm, milliohmsPerMetre, carries }: Wire): string {
  return `${figure(squareMm)}\u00a0mm², ${figure(milliohmsPerMetre)}\u00a0mΩ a metre, good for ${figure(carries.amps)}\u00a0A`;
}

export function diodeFigures({ ratedAmps, ratedReverseVolts }: IsolationDiode): string {
  return `${figure(ratedAmps)}\u00a0A, ${figure(ratedReverseVolts)}\u00a0V`;
}

/** The parts of the library that a plan uses, each once, with their sources. */
export function partSources(plan: Plan): PartSource[] {
  const far = farConnectorOf(plan);
  const near = connectorOf(plan);
  const connectors = (far && far.id !== near.id ? [near, far] : [near]).map(({ name, pins }) => ({
    part: name,
    figures: "functions and colours of its pins",
    source: [...new Set(pins.map((pin) => pin.source))].join("; "),
  }));
  return [...connectors, ...bulbsOf(plan), ...diodesOf(plan), ...wiresOf(plan)];
}

function bulbsOf(plan: Plan): PartSource[] {
  if (plan.kind === "cable") return [];
  const named = plan.sockets.flatMap(({ bulb, factory }) => [
    ...(bulb === undefined ? [] : [bulb]),
    ...[...(factory?.bright ?? []), ...(factory?.dim ?? [])].flatMap((load) => ("bulb" in load ? [load.bulb] : [])),
  ]);
  return [...new Set(named)].flatMap((id) => {
    const bulb = findBulb(defaultLibrary, id, plan.nominalVolts);
    return bulb ? [{ part: `Bulb ${id}`, figures: bulbFigures(bulb), source: bulb.source }] : [];
  });
}

function diodesOf(plan: Plan): PartSource[] {
  const named =
    plan.kind === "cable" ? [] : plan.circuits.flatMap(({ feeds }) => feeds.map(({ isolation }) => isolation));
  return [...new Set(named)].flatMap((isolation) => {
    const diode = typeof isolation === "string" ? findDiode(defaultLibrary, isolation) : undefined;
    return diode
      ? [
          {
            part: diode.name,
            figures: diodeFigures(diode),
            source: [...new Set(diode.points.map((point) => point.source))].join("; "),
          },
        ]
      : [];
  });
}

function wiresOf(plan: Plan): PartSource[] {
  const runs: WireRun[] =
    plan.kind === "cable"
      ? plan.conductors.map(({ wire }) => wire)
      : [
          ...plan.circuits.flatMap(({ wire, feeds }) => [wire, ...feeds.flatMap((feed) => feed.wire ?? [])]),
          plan.ground.wire,
        ];
  const found = new Map<string, PartSource>();
  for (const run of runs) {
    for (const system of ["awg", "sae", "mm2"] as const) {
      const size = run[system];
      const wire = size === undefined ? undefined : findWire(defaultLibrary, system, size);
      if (wire)
        found.set(wireName(run), {
          part: wireName(run),
          figures: wireFigures(wire),
          source: `${wire.source}; ${wire.carries.source}`,
        });
    }
  }
  return [...found.values()];
}
