import type { Bulb } from "./bulb.js";
import { bulbsNorthAmerica } from "./bulbs-north-america.js";
import { bulbsR37 } from "./bulbs-r37.js";
import { diodes, type IsolationDiode } from "./diodes.js";
import { type Fuse, fuses } from "./fuses.js";
import { type Wire, type WireSystem, wires } from "./wires.js";

/** Everything that a plan can name, as one value: the tables of this folder, and what a shop added. */
export interface PartsLibrary {
  readonly bulbs: readonly Bulb[];
  readonly wires: readonly Wire[];
  readonly diodes: readonly IsolationDiode[];
  readonly fuses: readonly Fuse[];
}

/** The parts that a plan may name where nobody says otherwise. */
export let defaultLibrary: PartsLibrary = { bulbs: [...bulbsNorthAmerica, ...bulbsR37], wires, diodes, fuses };

/**
 * Puts a shop's library in force for the whole process, once and before anything else: a server's plans, walks, checks and records
 * all go by the same parts.
 */
export function putPartsInForce(library: PartsLibrary): void {
  defaultLibrary = library;
}

/** The bulb of that name for a system voltage; where it exists for one voltage only, that one. A later row wins. */
export function findBulb(library: PartsLibrary, id: string, nominalVolts: number): Bulb | undefined {
  const named = library.bulbs.filter((bulb) => bulb.id === id);
  return named.findLast((bulb) => bulb.nominalVolts === nominalVolts) ?? named.at(-1);
}

export function findWire(library: PartsLibrary, system: WireSystem, size: number): Wire | undefined {
  return library.wires.findLast((wire) => wire.system === system && wire.size === size);
}

export function findDiode(library: PartsLibrary, id: string): IsolationDiode | undefined {
  return library.diodes.findLast((diode) => diode.id === id);
}
