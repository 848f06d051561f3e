import { readFileSync } from "node:fs";
import type { BenchPort } from "@pinwalk/host/bench/port.js";
import { simulatedVehicle } from "@pinwalk/host/bench/virtual/vehicle/simulated-vehicle.js";
import { openVirtualBench } from "@pinwalk/host/bench/virtual/virtual-bench.js";
import { adapterOf } from "@pinwalk/host/plan/adapter.js";
import { parsePlan } from "@pinwalk/host/plan/parse-plan.js";
import type { Plan } from "@pinwalk/host/plan/plan-schema.js";
import { Walk } from "@pinwalk/host/procedures/walk.js";

const SUPPLY_VOLTS = 12.8;
/** A lamp has settled when its current stays within 1 % of its end. */
const SETTLED_SHARE = 0.01;
/** Long after the slowest of them. */
const COURSE_MS = 3000;
/** Ten bits a character at 250000 baud. */
const CHARACTER_MS = 10 / 250;

/** The sample pickup with every lamp a filament, on the seven-blade connector: four circuits, two pins left alone, one ground. */
export function sevenPinPickup(): Plan {
  const file = new URL("../../fixtures/plans/pickup-markers-round-6.json", import.meta.url);
  const plan = JSON.parse(readFileSync(file, "utf8")) as { circuits: { pin: string }[] };
  const circuits = plan.circuits.map((circuit) => (circuit.pin === "A" ? { ...circuit, pin: "AX" } : circuit));
  const parsed = parsePlan({ ...plan, connector: "blade-7", circuits, senseOnly: ["S", "A"] });
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
  return parsed.plan;
}

/**
 * Milliseconds from switching a pin on until its current stays within 1 % of its end, by pin: solved from the model of the
 * filaments in steps of a millisecond, without firmware or emulator.
 */
export function ownSettlingMs(plan: Plan): ReadonlyMap<string, number> {
  if (plan.kind !== "install") throw new Error("only a vehicle has lamps");
  return new Map(
    plan.circuits.map(({ pin }) => {
      const channel = adapterOf(plan).near.find((place) => place.pin === pin)?.channel;
      if (channel === undefined) throw new Error(`no pin ${pin}`);
      const { side } = simulatedVehicle(plan, [], 20);
      side.switchTo({ supplyVolts: SUPPLY_VOLTS, relayClosed: true, driveMask: 1 << channel, lowMask: 0 }, 0);
      const amps = Array.from({ length: COURSE_MS }, (_, atMs) => side.shuntAmps(atMs / 1000));
      const end = amps.at(-1) ?? Number.NaN;
      return [pin, amps.findLastIndex((one) => Math.abs(one - end) > SETTLED_SHARE * end) + 1] as const;
    }),
  );
}

export interface WalkTime {
  /** From power-up of the bench to everything off again. */
  readonly wholeMs: number;
  /** The same without power-up, greeting and configuration: from the first measurement on. */
  readonly walkMs: number;
  /** With full supply on a pin. */
  readonly litMs: number;
  /** Settling times as the bench gives them. */
  readonly settleMs: number;
  /** What the characters of all lines take that are not sent while a lamp warms up: an upper bound of the line's part. */
  readonly lineMs: number;
  /** Wall time of this machine from each line heard to the request that followed it, all together. */
  readonly hostMs: number;
}

/** Walks a plan on the virtual bench and takes the times by the bench's own clock. */
export async function walkTime(plan: Plan, seed = 1): Promise<WalkTime> {
  const bench = await openVirtualBench({ plan, pace: "fast", seed, supplyVolts: SUPPLY_VOLTS });
  let characters = 0;
  let hostMs = 0;
  let heardAtMs: number | undefined;
  let litMs = 0;
  let litSinceMs: number | undefined;
  bench.onOutputs(({ driveMask, atMs }) => {
    if (litSinceMs !== undefined) litMs += atMs - litSinceMs;
    litSinceMs = driveMask === 0 ? undefined : atMs;
  });
  const counted = (bytes: Uint8Array): number =>
    Buffer.from(bytes)
      .toString("latin1")
      .split(/(?<=\n)/)
      .filter((line) => !/^~trace| ping/.test(line))
      .join("").length;
  const port: BenchPort = {
    path: bench.path,
    clock: bench.clock,
    write: (bytes) => {
      characters += counted(bytes);
      if (heardAtMs !== undefined) hostMs += performance.now() - heardAtMs;
      heardAtMs = undefined;
      bench.write(bytes);
    },
    onBytes: (listener) =>
      bench.onBytes((bytes) => {
        characters += counted(bytes);
        heardAtMs = performance.now();
        listener(bytes);
      }),
    onClosed: (listener) => bench.onClosed(listener),
    close: () => bench.close(),
  };
  const walk = new Walk({ plan, port });
  let firstMs = 0;
  let endMs = 0;
  for await (const event of walk) {
    if (event.kind === "phase" && event.phase === "rest") firstMs = bench.clock.nowMs();
    if (event.kind === "phase" && event.phase === "compare") endMs = bench.clock.nowMs();
  }
  const outcome = await walk.outcome;
  if (outcome.kind !== "judged") throw new Error(JSON.stringify(outcome));
  const settles = (outcome.readings.drives ?? []).map(({ settleMs }) => settleMs ?? Number.NaN);
  return {
    wholeMs: endMs,
    walkMs: endMs - firstMs,
    litMs,
    settleMs: settles.reduce((sum, one) => sum + one, 0),
    lineMs: characters * CHARACTER_MS,
    hostMs,
  };
}
