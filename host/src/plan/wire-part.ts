import type { Part } from "../circuit/network.js";
import type { FaultSet } from "./fault-set.js";
import { leastOhms } from "./healthy-ohms.js";
import { findWire, type PartsLibrary } from "./parts/parts-library.js";
import { type Wire, wireOhms } from "./parts/wires.js";
import type { WireRun } from "./plan-schema.js";

/** The library's row for a run of wire. Throws for a size that `parsePlan` would refuse. */
export function wireOf(run: WireRun, library: PartsLibrary): Wire {
  for (const system of ["awg", "sae", "mm2"] as const) {
    const size = run[system];
    const wire = size === undefined ? undefined : findWire(library, system, size);
    if (wire !== undefined) return wire;
  }
  throw new RangeError("wire size is not in the parts library");
}

/** Ohms of a run at a temperature. */
export function runOhms(run: WireRun, library: PartsLibrary, celsius: number): number {
  return Math.max(wireOhms(wireOf(run, library), run.metres, celsius), leastOhms);
}

/**
 * A trunk or conductor between two nodes. What touches a wire (a short, a bridge) touches its middle, `middle:P`; what
 * interrupts it lies in its second half.
 */
export function wireParts(id: string, from: string, to: string, ohms: number, faults: FaultSet): Part[] {
  const extra = faults.seriesOhms(id);
  if (!faults.touchesWire(id)) return [{ kind: "resistor", id, a: from, b: to, ohms: ohms + extra }];
  const middle = middleOf(id);
  return [
    { kind: "resistor", id, a: from, b: middle, ohms: ohms / 2 },
    { kind: "resistor", id: `${id}/2`, a: middle, b: to, ohms: ohms / 2 + extra },
  ];
}

/** `wire:LT` → `middle:LT`. */
export function middleOf(wireId: string): string {
  return wireId.replace(/^wire:/, "middle:");
}
