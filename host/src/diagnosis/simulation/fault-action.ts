import type { Branch } from "../../circuit/branch.js";
import { filamentConstants } from "../../circuit/filament.js";
import type { Part } from "../../circuit/network.js";
import { kindOf } from "../../circuit/part-kinds.js";
import type { OperatingPoint } from "./operating-point.js";

/** A part that a fault removes, changes or adds. */
export interface ChangedPart {
  readonly id: string;
  readonly before: Part | undefined;
  readonly after: Part | undefined;
}

/** Currents below this leave every reading where it was: two millivolts on a pin that only the bench's divider loads. Amps. */
export const nothingAmps = 1.5e-8;

/**
 * A conductor laid across less than this, volts, leaves every reading where it was, and so does a series resistance that
 * drops less: each acts as a source of no more than that voltage, and no voltage in a network of conductors changes by more
 * than the source that changes it. Five microvolts on a pin, fifty microamps out of a tester of 0.1 Ω.
 */
const nothingVolts = 5e-6;

/** What a fault changes in the network, compared with another network of the same plan. */
export function changedParts(from: ReadonlyMap<string, Part>, to: ReadonlyMap<string, Part>): ChangedPart[] {
  const changed: ChangedPart[] = [];
  for (const [id, after] of to) {
    const before = from.get(id);
    if (before === undefined || !alike(before, after)) changed.push({ id, before, after });
  }
  for (const [id, before] of from) {
    if (!to.has(id)) changed.push({ id, before, after: undefined });
  }
  return changed;
}

/**
 * How far a change of parts upsets an operating point: the largest change of current in a changed part at the old voltages,
 * amps. Exact where it is 0, not a guess: if every changed part carries the same current as before, the old voltages still
 * satisfy the current law; and what acts as a source of next to no volts upsets nothing. Infinite where it cannot be told
 * without solving.
 */
export function upsetAmps(changes: readonly ChangedPart[], point: OperatingPoint, cold: boolean): number {
  let most = 0;
  for (const { before, after } of changes) {
    const was = before === undefined ? 0 : currentAt(before, point, cold);
    if (after !== undefined && actsLikeNothing(before, after, was, point)) continue;
    const becomes = after === undefined ? 0 : currentAt(after, point, cold);
    const upset = was === undefined || becomes === undefined ? Number.POSITIVE_INFINITY : Math.abs(becomes - was);
    if (upset > most) most = upset;
  }
  return most;
}

/** Whether a change of parts would move an operating point at all. */
export function wouldMove(changes: readonly ChangedPart[], point: OperatingPoint, cold: boolean): boolean {
  return upsetAmps(changes, point, cold) > nothingAmps;
}

/** True when two faults change one and the same part, so that their changes cannot be laid over each other. */
export function overlap(first: readonly ChangedPart[], second: readonly ChangedPart[]): boolean {
  return first.some(({ id }) => second.some((other) => other.id === id));
}

/** Whether a part that a fault adds lies across next to no voltage, or the resistance that it adds drops next to none. */
function actsLikeNothing(
  before: Part | undefined,
  after: Part,
  was: number | undefined,
  point: OperatingPoint,
): boolean {
  if (after.kind !== "resistor") return false;
  if (before === undefined) {
    const a = voltsAt(after.a, point);
    const b = voltsAt(after.b, point);
    return a !== undefined && b !== undefined && Math.abs(a - b) < nothingVolts;
  }
  if (before.kind !== "resistor" || before.a !== after.a || before.b !== after.b || was === undefined) return false;
  return after.ohms > before.ohms && Math.abs(was) * (after.ohms - before.ohms) < nothingVolts;
}

const branches = new WeakMap<Part, Branch>();

/** Current of a part at an operating point; undefined when a node of it is not there. */
function currentAt(part: Part, point: OperatingPoint, cold: boolean): number | undefined {
  if (part.kind === "resistor" && part.ohms === 0) return point.tieAmpsOf(part.id);
  const [first, second] = kindOf(part).nodes(part);
  const a = voltsAt(first, point);
  const b = voltsAt(second, point);
  if (a === undefined || b === undefined) return undefined;
  if (part.kind === "filament" && cold) return (a - b) / filamentConstants(part.model, part.celsius).coldOhms;
  const known = branches.get(part);
  const branch = known ?? kindOf(part).branch(part);
  if (known === undefined) branches.set(part, branch);
  branch.evaluate(a - b);
  return branch.amps;
}

/** Volts of a node at an operating point of another network of the same plan; the middle of a wire that this network has in one piece lies halfway between its ends. */
export function voltsAt(node: string, point: OperatingPoint): number | undefined {
  const volts = point.voltsOf(node);
  if (volts !== undefined || !node.startsWith("middle:")) return volts;
  const pin = node.slice("middle:".length);
  const near = point.voltsOf(`terminal:${pin}`);
  const far = point.voltsOf(`junction:${pin}`) ?? point.voltsOf(`end:${pin}`) ?? point.voltsOf("ground-stud");
  return near === undefined || far === undefined ? undefined : (near + far) / 2;
}

/** Same part with the same values; the diode models of one plan are one object each. */
function alike(first: Part, second: Part): boolean {
  if (first === second) return true;
  if (first.kind === "resistor" && second.kind === "resistor")
    return first.ohms === second.ohms && first.a === second.a && first.b === second.b;
  const [a, b] = kindOf(first).nodes(first);
  const [c, d] = kindOf(second).nodes(second);
  if (first.kind !== second.kind || a !== c || b !== d) return false;
  if (first.kind === "diode" && second.kind === "diode")
    return first.model.saturationAmps === second.model.saturationAmps;
  if (first.kind === "filament" && second.kind === "filament") {
    return first.model.designAmps === second.model.designAmps && first.model.designVolts === second.model.designVolts;
  }
  return JSON.stringify(first) === JSON.stringify(second);
}
