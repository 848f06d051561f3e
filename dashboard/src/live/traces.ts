import type { TraceBatch } from "@pinwalk/host/server/contract.js";
import { signal } from "@preact/signals";

/** The samples of one drive, in the order in which they were taken. */
export interface Trace {
  readonly atMs: number[];
  readonly amps: number[];
  readonly volts: number[];
}

const byPin = new Map<string, Trace>();
let walkNumber = -1;

/** Goes up by one whenever samples were added or dropped; whoever draws traces watches it. */
export const traceEdition = signal(0);

export function traceOf(pin: string): Trace | undefined {
  return byPin.get(pin);
}

/** Adds a batch; samples of another walk replace everything. */
export function addBatch(batch: TraceBatch): void {
  if (batch.walkNumber !== walkNumber) {
    byPin.clear();
    walkNumber = batch.walkNumber;
  }
  for (const [pin, columns] of Object.entries(batch.pins)) {
    const trace = byPin.get(pin) ?? { atMs: [], amps: [], volts: [] };
    byPin.set(pin, trace);
    trace.atMs.push(...columns.atMs);
    trace.amps.push(...columns.amps);
    trace.volts.push(...columns.volts);
  }
}

/** Starts over from what the server holds. */
export function replaceTraces(batch: TraceBatch): void {
  walkNumber = -1;
  byPin.clear();
  addBatch(batch);
}
