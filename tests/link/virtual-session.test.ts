import { readFileSync } from "node:fs";
import { firmwareVersion } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { refusalOf } from "@pinwalk/host/bench/bench-error.js";
import { BenchSession } from "@pinwalk/host/bench/bench-session.js";
import type { TracePoint } from "@pinwalk/host/bench/measurements.js";
import { openVirtualBench, type VirtualBench } from "@pinwalk/host/bench/virtual/virtual-bench.js";
import { adapterOf } from "@pinwalk/host/plan/adapter.js";
import { parsePlan } from "@pinwalk/host/plan/parse-plan.js";
import { afterEach, beforeEach, describe, expect, it } from "vitest";

const planFile = new URL("../../fixtures/plans/hatchback-round-6.json", import.meta.url);
const parsed = parsePlan(JSON.parse(readFileSync(planFile, "utf8")));
if (!parsed.ok) throw new Error("the sample plan does not parse");
const { plan } = parsed;
const adapter = adapterOf(plan);
const setup = { used: adapter.usedMask, senseOnly: adapter.senseOnlyMask, ground: adapter.groundMask };
const channelOf = (pin: string): number => {
  const place = adapter.near.find((one) => one.pin === pin);
  if (!place) throw new Error(`no pin ${pin}`);
  return place.channel;
};

describe("the session with the firmware's own image, emulated", () => {
  let bench: VirtualBench;
  let session: BenchSession;

  beforeEach(async () => {
    bench = await openVirtualBench({ plan, pace: "fast" });
    session = await BenchSession.open(bench);
    await session.configure(setup);
  });

  afterEach(async () => {
    await session.close();
    await bench.close();
  });

  const timePasses = (durationMs: number) =>
    new Promise<void>((resolve) => {
      bench.clock.after(durationMs, resolve);
    });
  const outputs = async () => (await bench.look()).outputs;
  const allOff = { relayClosed: false, driveMask: 0, lowMask: 0 };

  it("knows the firmware and finds nothing live on a healthy vehicle", async () => {
    expect(session.identity).toMatchObject({ firmware: firmwareVersion, protocol: 2, channels: 13, driveChannels: 8 });
    const rest = await session.rest();
    expect(rest.supplyVolts).toBeCloseTo(12.8, 1);
    const measured = rest.volts.flatMap((volts) => (volts === undefined ? [] : [Math.abs(volts)]));
    expect(measured.length).toBeGreaterThanOrEqual(5);
    expect(Math.max(...measured)).toBeLessThan(0.1);
  });

  it("drives a lamp until it has settled, with its inrush, and is off after it", async () => {
    await session.arm();
    const traces: TracePoint[] = [];
    const channel = channelOf("LT");
    const driven = await session.drive(channel, { mostMs: 4000, onTrace: (point) => traces.push(point) });
    expect(driven.end).toBe("settled");
    expect(driven.peakAmps).toBeGreaterThan(2 * driven.amps);
    expect(driven.volts[channel]).toBeGreaterThan(11);
    expect(traces.length).toBeGreaterThan(2);
    expect(traces.map((point) => point.atMs)).toEqual(traces.map((point) => point.atMs).toSorted((a, b) => a - b));
    expect(await outputs()).toMatchObject({ relayClosed: true, driveMask: 0 });
    await session.off();
    expect(await outputs()).toMatchObject(allOff);
  });

  it("reads no line wrong in a whole round of checks and drives", async () => {
    await session.arm();
    for (const pin of ["LT", "RT", "TM"]) {
      await session.low(channelOf(pin));
      expect((await session.drive(channelOf(pin), { mostMs: 4000 })).end).toBe("settled");
    }
    expect(session.counts).toMatchObject({ garbage: 0, late: 0, garbledAtBench: 0 });
    expect((await session.status()).garbledLines).toBe(0);
  });

  it("is refused a channel that the plan marks sense-only, and everything is off then", async () => {
    await session.configure({ ...setup, senseOnly: setup.senseOnly | (1 << channelOf("RT")) });
    await session.arm();
    const refused = await session.drive(channelOf("RT"), { mostMs: 100 }).catch(refusalOf);
    expect(refused).toMatchObject({ code: "sense-only", fields: { channel: channelOf("RT") } });
    expect(session.armed).toBe(false);
    expect(await outputs()).toMatchObject(allOff);
  });

  it("takes a sense-only mark back only by a restart, which it does by itself", async () => {
    await session.configure({ ...setup, senseOnly: 1 << channelOf("RT") });
    await session.configure(setup);
    await session.arm();
    expect((await session.drive(channelOf("RT"), { mostMs: 4000 })).end).toBe("settled");
  });

  it("takes a short as a reading, waits out the cooling, and can go on", async () => {
    await bench.setVehicle({ plan, faults: [{ kind: "short-to-ground", at: "wire:LT" }] });
    await session.arm();
    const driven = await session.drive(channelOf("LT"), { mostMs: 1000 });
    expect(["slow-trip", "fast-trip"]).toContain(driven.end);
    expect(await outputs()).toMatchObject(allOff);
    expect(session.armed).toBe(false);
    await session.clear();
    await session.arm();
    const cooling = await session.drive(channelOf("LT"), { mostMs: 1000 }).catch(refusalOf);
    expect(cooling).toMatchObject({ code: "cooling" });
    await session.arm();
    expect((await session.drive(channelOf("RT"), { mostMs: 4000 })).end).toBe("settled");
  });

  it("holds a lamp for as long as it is kept and not longer", async () => {
    await session.arm();
    const hold = await session.hold(channelOf("TM"));
    await timePasses(8000);
    await session.keep();
    await timePasses(8000);
    expect(await outputs()).toMatchObject({ driveMask: 1 << channelOf("TM") });
    expect((await hold.ended).end).toBe("unkept");
    expect((await outputs()).driveMask).toBe(0);
  });

  it("loses the light to a garbled line and says so", async () => {
    await session.arm();
    const hold = await session.hold(channelOf("TM"));
    bench.write(Uint8Array.from("?2A drive 9\n", (c) => c.charCodeAt(0)));
    expect((await hold.ended).end).toBe("garbled");
    expect(session.armed).toBe(false);
    expect(session.counts.garbledAtBench).toBe(1);
    expect(await outputs()).toMatchObject(allOff);
  });

  it("notices in mid-drive that the bench has lost its power", async () => {
    await session.arm();
    const hold = await session.hold(channelOf("TM"));
    await timePasses(200);
    await bench.powerCycle();
    await expect(hold.ended).rejects.toMatchObject({ code: "bench-reset", problem: { reset: "power" } });
    expect(session.armed).toBe(false);
    expect(await outputs()).toMatchObject(allOff);
  });

  it("goes off in mid-drive when off is asked", async () => {
    await session.arm();
    const hold = await session.hold(channelOf("TM"));
    await timePasses(200);
    await session.off();
    expect(await outputs()).toMatchObject(allOff);
    expect((await hold.ended).end).toBe("asked");
  });

  it("fails what is going on when the emulator ends", async () => {
    await session.arm();
    const hold = await session.hold(channelOf("TM"));
    await bench.close();
    await expect(hold.ended).rejects.toMatchObject({ code: "port-closed" });
  });
});
