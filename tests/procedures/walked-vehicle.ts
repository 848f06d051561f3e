import type { OutputState } from "@pinwalk/host/bench/virtual/output-log.js";
import { openVirtualBench, type VirtualBench } from "@pinwalk/host/bench/virtual/virtual-bench.js";
import type { Findings } from "@pinwalk/host/diagnosis/findings.js";
import { type Fault, parseFault } from "@pinwalk/host/plan/fault.js";
import type { Plan } from "@pinwalk/host/plan/plan-schema.js";
import { Walk } from "@pinwalk/host/procedures/walk.js";
import type { WalkOutcome } from "@pinwalk/host/procedures/walk-events.js";
import type { Readings } from "@pinwalk/host/readings/readings.js";

/** A simulated vehicle that has been walked, on a bench that is free again and keeps a log of its outputs. */
export interface WalkedVehicle {
  readonly bench: VirtualBench;
  readonly base: Readings;
  readonly outputs: OutputState[];
}

const walked = new Map<string, Promise<Readings>>();

/** Each vehicle is walked once; readings are never changed. */
function readingsOf(plan: Plan, faults: readonly Fault[]): Promise<Readings> {
  const key = JSON.stringify([plan, faults]);
  const known = walked.get(key) ?? walkOnce(plan, faults);
  walked.set(key, known);
  return known;
}

async function walkOnce(plan: Plan, faults: readonly Fault[]): Promise<Readings> {
  const outcome = await new Walk({ plan, port: () => openVirtualBench({ plan, faults, pace: "fast" }) }).outcome;
  if (!outcome.readings) throw new Error(JSON.stringify(outcome));
  return outcome.readings;
}

export async function walkedVehicle(plan: Plan, faultTexts: readonly string[] = []): Promise<WalkedVehicle> {
  const faults = faultTexts.map(faultOf);
  const base = await readingsOf(plan, faults);
  const bench = await openVirtualBench({ plan, faults, pace: "fast" });
  const outputs: OutputState[] = [];
  bench.onOutputs((state) => outputs.push(state));
  return { bench, base, outputs };
}

export function judged(outcome: WalkOutcome): Findings & { readonly readings: Readings } {
  if (outcome.kind !== "judged") throw new Error(JSON.stringify(outcome));
  return { ...outcome.findings, readings: outcome.readings };
}

export const verdicts = ({ circuits }: Findings) => Object.fromEntries(circuits.map((one) => [one.pin, one.verdict]));

function faultOf(text: string): Fault {
  const read = parseFault(text);
  if (!read.ok) throw new Error(read.message);
  return read.fault;
}
