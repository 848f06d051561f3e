import type { WireRun } from "../plan-schema.js";
import { wireOf } from "../wire-part.js";
import { type InstallContext, placedFeeds } from "./install-context.js";
import { figure, type Remark } from "./remark.js";

/** The most that each wire carries, against what a wire of its size carries for long; and thin wire for its connector. */
export function wireCurrent(context: InstallContext): Remark[] {
  const { plan } = context;
  const runs: { where: string; run: WireRun; amps: number }[] = [
    ...plan.circuits.map((circuit) => ({
      where: `wire:${circuit.pin}`,
      run: circuit.wire,
      amps: context.amps(`wire:${circuit.pin}`),
    })),
    ...placedFeeds(plan).flatMap(({ feed, name }) =>
      feed.wire === undefined ? [] : [{ where: `feed:${name}`, run: feed.wire, amps: context.amps(`feed:${name}`) }],
    ),
    { where: `wire:${plan.ground.pin}`, run: plan.ground.wire, amps: context.amps(`wire:${plan.ground.pin}`) },
  ];
  const overloads = runs.flatMap(({ where, run, amps }): Remark[] => {
    const { carries } = wireOf(run, context.library);
    if (amps <= carries.amps) return [];
    const text = `${wireName(run)} at ${where} would carry ${figure(amps)} A; it is good for ${carries.amps} A.`;
    return [
      {
        code: "wire-overloaded",
        severity: "problem",
        text,
        value: amps,
        limit: carries.amps,
        unit: "A",
        source: carries.source,
        where,
      },
    ];
  });
  return [...overloads, ...thinForConnector(context)];
}

/** `AWG 16`, `SAE 16`, `1.5 mm²`. */
export function wireName(run: Omit<WireRun, "metres">): string {
  if (run.mm2 !== undefined) return `${run.mm2} mm²`;
  return run.awg === undefined ? `SAE ${run.sae}` : `AWG ${run.awg}`;
}

/** `AWG 16 (1.31 mm²)`; a metric size says its area itself. */
export function wireWithArea(run: Omit<WireRun, "metres">, squareMm: number): string {
  return run.mm2 === undefined ? `${wireName(run)} (${figure(squareMm)} mm²)` : wireName(run);
}

function thinForConnector(context: InstallContext): Remark[] {
  const { plan, library } = context;
  const runs = [
    ...plan.circuits.map(({ pin, wire }) => ({ pin, wire })),
    { pin: plan.ground.pin, wire: plan.ground.wire },
  ];
  return runs.flatMap(({ pin, wire }): Remark[] => {
    const asked = context.pinOf(pin)?.conductor;
    if (asked === undefined) return [];
    const least = library.wires.find((one) => one.system === asked.system && one.size === asked.size);
    const { squareMm } = wireOf(wire, library);
    // Five percent allow for the rounding between the numberings (AWG 16 is 1.31 mm², the metric size 1.25 or 1.5).
    if (least === undefined || squareMm >= 0.95 * least.squareMm) return [];
    const text = `${wireWithArea(wire, squareMm)} on pin ${pin} is thinner than the ${wireWithArea({ [asked.system]: asked.size }, least.squareMm)} of this connector.`;
    return [
      {
        code: "wire-thin",
        severity: "note",
        text,
        value: squareMm,
        limit: least.squareMm,
        unit: "mm²",
        source: asked.source,
        where: `wire:${pin}`,
      },
    ];
  });
}
