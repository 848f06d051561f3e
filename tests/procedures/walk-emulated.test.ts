import { isAllOff, type OutputState } from "@pinwalk/host/bench/virtual/output-log.js";
import { openVirtualBench, type VirtualBench } from "@pinwalk/host/bench/virtual/virtual-bench.js";
import type { Findings } from "@pinwalk/host/diagnosis/findings.js";
import { adapterOf } from "@pinwalk/host/plan/adapter.js";
import { parseFault } from "@pinwalk/host/plan/fault.js";
import type { Plan } from "@pinwalk/host/plan/plan-schema.js";
import { Walk } from "@pinwalk/host/procedures/walk.js";
import type { WalkEvent } from "@pinwalk/host/procedures/walk-events.js";
import { readingsSchema } from "@pinwalk/host/readings/readings.js";
import { describe, expect, it } from "vitest";
import { fixturePlan } from "./scripted-walk.js";

const hatchback = fixturePlan("hatchback-round-6");
const umbilical = fixturePlan("umbilical-blade-7-to-round-6");

/** A walk on the real firmware image, as fast as the machine can, with a log of what the outputs really did. */
async function emulated(plan: Plan, faults: readonly string[] = []) {
  const read = faults.map((text) => {
    const fault = parseFault(text);
    if (!fault.ok) throw new Error(fault.message);
    return fault.fault;
  });
  const bench = await openVirtualBench({ plan, faults: read, pace: "fast" });
  const outputs: OutputState[] = [];
  bench.onOutputs((state) => outputs.push(state));
  return { bench, outputs, walk: new Walk({ plan, port: bench }) };
}

async function judged(walk: Walk): Promise<Findings> {
  const outcome = await walk.outcome;
  if (outcome.kind !== "judged") throw new Error(JSON.stringify(outcome));
  return outcome.findings;
}

const verdicts = ({ circuits }: Findings) => Object.fromEntries(circuits.map(({ pin, verdict }) => [pin, verdict]));

describe("a walk on the firmware's image", () => {
  it("passes a healthy vehicle, driving one planned pin at a time and ending with all off", async () => {
    const { walk, outputs } = await emulated(hatchback);
    expect(verdicts(await judged(walk))).toEqual({ LT: "pass", RT: "pass", TM: "pass" });
    const planned = new Set(["LT", "RT", "TM"]);
    const allowed = adapterOf(hatchback).near.flatMap(({ pin, channel }) => (planned.has(pin) ? [1 << channel] : []));
    const driven = new Set(outputs.map(({ driveMask }) => driveMask).filter((mask) => mask !== 0));
    expect([...driven].toSorted()).toEqual(allowed.toSorted());
    const last = outputs.at(-1);
    expect(last && isAllOff(last) && !last.relayClosed).toBe(true);
  });

  it("measures what the vehicle draws: readings within the format, inrush above the settled current", async () => {
    const { walk } = await emulated(hatchback);
    const outcome = await walk.outcome;
    if (outcome.kind !== "judged") throw new Error(JSON.stringify(outcome));
    const { drives = [], lowCurrent = [] } = readingsSchema.parse(outcome.readings);
    expect(drives).toHaveLength(3);
    for (const { amps, peakAmps = 0, settleMs = 0 } of drives) {
      expect(peakAmps).toBeGreaterThan(3 * amps);
      expect(settleMs).toBeGreaterThan(50);
    }
    // A cold filament behind a diode shows the diode's drop; the pin without a circuit shows the open source.
    expect(lowCurrent.find(({ pin }) => pin === "LT")?.volts.LT).toBeLessThan(1);
    expect(lowCurrent.find(({ pin }) => pin === "S")?.volts.S).toBeGreaterThan(4);
  });

  it("passes a healthy cable, and reads its far end", async () => {
    const { walk } = await emulated(umbilical);
    const outcome = await walk.outcome;
    if (outcome.kind !== "judged") throw new Error(JSON.stringify(outcome));
    for (const verdict of Object.values(verdicts(outcome.findings))) expect(verdict).toBe("pass");
    const left = outcome.readings.drives?.find(({ pin }) => pin === "LT");
    expect(left?.farVolts?.LT).toBeGreaterThan(12);
    expect(left?.farVolts?.RT).toBeLessThan(0.5);
  });

  it.each([
    ["open@wire:TM", "TM", /open/],
    ["short-to-ground@wire:LT", "LT", /short-to-ground/],
    ["bridge@wire:LT+wire:RT", "LT", /bridged/],
  ])("fails a cable with %s", async (fault, pin, verdict) => {
    const { walk } = await emulated(umbilical, [fault]);
    const findings = await judged(walk);
    expect(findings.overall).toBe("fail");
    expect(verdicts(findings)[pin]).toMatch(verdict);
  });

  it("goes on after a dead short, and never drives it again", async () => {
    const { walk, outputs } = await emulated(hatchback, ["short-to-ground@wire:TM"]);
    const findings = await judged(walk);
    expect(verdicts(findings)).toMatchObject({ TM: "short-to-ground", LT: "pass", RT: "pass" });
    const channel = adapterOf(hatchback).near.find(({ pin }) => pin === "TM")?.channel ?? -1;
    expect(outputs.filter(({ driveMask }) => driveMask === 1 << channel).length).toBeLessThanOrEqual(1);
  });

  it("feeds nothing into a pin that a foreign supply reaches", async () => {
    const { walk, outputs } = await emulated(hatchback, ["short-to-power@pin:RT"]);
    await judged(walk);
    const bit = 1 << (adapterOf(hatchback).near.find(({ pin }) => pin === "RT")?.channel ?? -1);
    for (const { driveMask, lowMask } of outputs) expect((driveMask | lowMask) & bit).toBe(0);
  });
});

describe("a walk on the firmware's image that is cancelled", () => {
  const moments: readonly [string, (event: WalkEvent) => boolean][] = [
    ["before the bench has answered", (event) => event.kind === "phase" && event.phase === "connect"],
    ["when it begins to look at rest", (event) => event.kind === "phase" && event.phase === "rest"],
    ["in the low-current check", (event) => event.kind === "low-current"],
    ["in mid-drive", (event) => event.kind === "trace"],
    ["between two drives", (event) => event.kind === "drive"],
  ];
  it.each(moments)("%s has every output off when it says that it has ended", async (_when, isMoment) => {
    const { walk, outputs, bench } = await emulated(hatchback);
    for await (const event of walk) if (isMoment(event)) walk.cancel();
    const outcome = await walk.outcome;
    expect(outcome.kind).toBe("cancelled");
    if (outputs.some(({ relayClosed }) => relayClosed)) expect(outcome).toMatchObject({ outputs: "confirmed-off" });
    const last = outputs.at(-1);
    if (last) expect(isAllOff(last) && !last.relayClosed).toBe(true);
    await expect(look(bench)).rejects.toMatchObject({ code: "ended" });
  });
});

/** A port that the walk has closed answers no more. */
const look = (bench: VirtualBench) => bench.look();

describe("a bench that cannot go on in the middle", () => {
  it("because its supply is taken away ends the walk as not tested", async () => {
    const { walk, bench, outputs } = await emulated(hatchback);
    let cut: Promise<void> | undefined;
    for await (const event of walk) if (event.kind === "trace" && !cut) cut = bench.setSupply(0);
    await cut;
    const outcome = await walk.outcome;
    expect(outcome).toMatchObject({ kind: "could-not-test" });
    const last = outputs.at(-1);
    expect(last && isAllOff(last)).toBe(true);
  });

  it("because it resets in mid-drive ends the walk as not tested", async () => {
    const { walk, bench, outputs } = await emulated(hatchback);
    let cycled: Promise<void> | undefined;
    for await (const event of walk) if (event.kind === "trace" && !cycled) cycled = bench.powerCycle();
    await cycled;
    expect(await walk.outcome).toMatchObject({ kind: "could-not-test", code: "bench-reset", outputs: "confirmed-off" });
    const last = outputs.at(-1);
    expect(last && isAllOff(last)).toBe(true);
  });
});
