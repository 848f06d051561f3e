import type { Branch } from "../../circuit/branch.js";
import type { Part } from "../../circuit/network.js";
import { kindOf } from "../../circuit/part-kinds.js";
import type { FaultedVehicle, OperatingPoint } from "./faulted-vehicle.js";

/** A part that a fault removes, changes or adds. */
interface ChangedPart {
  readonly id: string;
  readonly before: Part | undefined;
  readonly after: Part | undefined;
}

/** Currents below this leave every reading where it was, amps. */
const nothingAmps = 3e-7;

/** What a fault changes in the network, compared with another network of the same plan. */
export function changedParts(from: FaultedVehicle, to: FaultedVehicle): ChangedPart[] {
  const changed: ChangedPart[] = [];
  for (const [id, after] of to.parts) {
    const before = from.parts.get(id);
    if (before === undefined || !alike(before, after)) changed.push({ id, before, after });
  }
  for (const [id, before] of from.parts) {
    if (!to.parts.has(id)) changed.push({ id, before, after: undefined });
  }
  return changed;
}

/**
 * Whether a change of parts would move an operating point at all. Exact, not a guess: if every changed part carries the
 * same current at the old voltages as before, the old voltages still satisfy the current law.
 */
export function wouldMove(changes: readonly ChangedPart[], point: OperatingPoint, cold: boolean): boolean {
  return changes.some(({ before, after }) => {
    const was = before === undefined ? 0 : currentAt(before, point, cold);
    const becomes = after === undefined ? 0 : currentAt(after, point, cold);
    return was === undefined || becomes === undefined || Math.abs(becomes - was) > nothingAmps;
  });
}

/** True when two faults change one and the same part, so that their changes cannot be laid over each other. */
export function overlap(first: readonly ChangedPart[], second: readonly ChangedPart[]): boolean {
  return first.some(({ id }) => second.some((other) => other.id === id));
}

export type { ChangedPart };

const branches = new WeakMap<Part, Branch>();

/** Current of a part at an operating point; undefined when a node of it is not there. */
function currentAt(part: Part, point: OperatingPoint, cold: boolean): number | undefined {
  const [first, second] = kindOf(part).nodes(part);
  const a = voltsAt(first, point);
  const b = voltsAt(second, point);
  if (a === undefined || b === undefined) return undefined;
  // Held cold, a filament draws more than its law says: only without voltage is it known to draw nothing.
  if (part.kind === "filament" && cold && Math.abs(a - b) > 1e-9) return undefined;
  const known = branches.get(part);
  const branch = known ?? kindOf(part).branch(part);
  if (known === undefined) branches.set(part, branch);
  branch.evaluate(a - b);
  return branch.amps;
}

/** Volts of a node; the middle of a wire that this network has in one piece lies halfway between its ends. */
function voltsAt(node: string, point: OperatingPoint): number | undefined {
  const volts = point.voltsOf(node);
  if (volts !== undefined || !node.startsWith("middle:")) return volts;
  const pin = node.slice("middle:".length);
  const near = point.voltsOf(`terminal:${pin}`);
  const far = point.voltsOf(`junction:${pin}`) ?? point.voltsOf(`end:${pin}`) ?? point.voltsOf("ground-stud");
  return near === undefined || far === undefined ? undefined : (near + far) / 2;
}

function alike(first: Part, second: Part): boolean {
  return first === second || JSON.stringify(first) === JSON.stringify(second);
}
