import { describe, expect, it } from "vitest";
import { AskedBench } from "./asked-bench.js";
import { type Load, steady } from "./loaded-side.js";

const limits = { trip: 10_000, tripTime: 100, supplyMin: 10_000, supplyMax: 16_000, cool: 2_000 };

/** A bench that is armed, with a load on channel 0. */
function armedWith(load: Load, changed: Partial<typeof limits> = {}): AskedBench {
  const bench = AskedBench.start();
  bench.side.loads.set(0, load);
  bench.get("limits", { ...limits, ...changed });
  bench.arm();
  return bench;
}

/** Milliseconds for which channel 0 had the supply, the last time. */
function lastDriveMs(bench: AskedBench): number {
  const { entries } = bench.machine.outputs;
  const on = entries.findLastIndex(({ driveMask }) => driveMask === 1);
  return (entries[on + 1]?.atMs ?? Number.NaN) - (entries[on]?.atMs ?? Number.NaN);
}

describe("duty 4: the slow limit", () => {
  it.each([
    [10_000, 100],
    [5_000, 20],
    [2_000, 1],
  ])(
    "of %i mA is over after %i ms and at most 1 ms more, counted from the first conversion that sees it",
    (trip, time) => {
      const bench = armedWith(steady(0.8), { trip, tripTime: time });
      const { measurement } = bench.get("drive", { channel: 0, most: 2_000 });
      const { fields } = bench.await("ended", 300);
      expect(fields).toMatchObject({ measurement, end: "slow-trip" });
      // 12.8 V over 0.8 Ω and the bench's own 0.1 Ω.
      expect(Math.abs(fields.current - 14_222)).toBeLessThan(150);
      expect(bench.isOff).toBe(true);
      const onMs = lastDriveMs(bench);
      expect(onMs).toBeGreaterThan(time);
      expect(onMs).toBeLessThanOrEqual(time + 1 + 0.5);
      bench.run(5);
      expect(bench.pushes.at(-1)?.push).toMatchObject({ name: "off", fields: { why: "slow-trip", value: 0 } });
      const result = bench.get("result", { measurement });
      expect(result).toMatchObject({ end: "slow-trip", settle: expect.any(Number) });
      expect(Math.abs(result.peak - 14_222)).toBeLessThan(200);
    },
  );

  it("lets an inrush pass that is over in time", () => {
    const bench = armedWith((seconds) => (seconds < 0.09 ? 0.8 : 6));
    bench.get("drive", { channel: 0, most: 2_000 });
    const { fields } = bench.await("ended", 600);
    expect(fields.end).toBe("settled");
    expect(Math.abs(fields.current - 12_800 / 6.1)).toBeLessThan(15);
  });

  it("counts an excess anew when the current was under the limit in between", () => {
    const bench = armedWith((seconds) => (Math.floor(seconds / 0.045) % 2 === 0 ? 0.8 : 6));
    bench.get("drive", { channel: 0, most: 500 });
    expect(bench.await("ended", 700).fields.end).toBe("time");
  });

  it("holds in the middle of the look at all pins too", () => {
    const bench = armedWith((seconds) => (seconds < 0.062 ? 6 : 1));
    bench.get("drive", { channel: 0, most: 2_000 });
    bench.run(1);
    const { fields } = bench.await("ended", 400);
    // The look takes some 36 ms, so the drive is over before the limit's 100 ms are: settled is right, and harmless.
    expect(["settled", "slow-trip"]).toContain(fields.end);
    const short = armedWith((seconds) => (seconds < 0.062 ? 6 : 1), { tripTime: 10 });
    short.get("drive", { channel: 0, most: 2_000 });
    expect(short.await("ended", 400).fields.end).toBe("slow-trip");
    expect(lastDriveMs(short)).toBeLessThan(62 + 11.5);
  });
});

describe("duty 4: the hardware latch", () => {
  it("takes everything off, is told, and has to be cleared before anything else", () => {
    const bench = armedWith(steady(0.2));
    bench.get("drive", { channel: 0, most: 2_000 });
    bench.await("off", 50);
    expect(bench.isOff).toBe(true);
    expect(lastDriveMs(bench)).toBeLessThan(0.1);
    expect(bench.pushes.slice(-2).map(({ push }) => push)).toMatchObject([
      { name: "ended", fields: { end: "fast-trip" } },
      { name: "off", fields: { why: "fast-trip", value: 0 } },
    ]);
    // No conversion has caught it: at least the limit's own current flowed.
    const { measurement } = bench.get("status", {});
    expect(bench.get("result", { measurement })).toMatchObject({ end: "fast-trip", peak: 30_000 });
    expect(bench.get("status", {}).state).toBe("latched");
    expect(bench.ask("arm", {})).toMatchObject({ code: "latched" });
    expect(bench.ask("drive", { channel: 1, most: 100 })).toMatchObject({ code: "latched" });
    expect(bench.get("off", {}).state).toBe("latched");
    expect(bench.get("clear", {}).state).toBe("idle");
    expect(bench.machine.outputs.last.limitTripped).toBe(false);
    bench.get("arm", {});
  });

  it("in the middle of a drive leaves the firmware's own outputs off within one conversion", () => {
    const bench = armedWith(steady(6));
    bench.get("drive", { channel: 0, most: 2_000 });
    bench.run(30);
    bench.side.loads.set(0, steady(0.2));
    bench.machine.plugIn(bench.side);
    const { fields } = bench.await("ended", 60);
    expect(fields.end).toBe("fast-trip");
    // The last value before it was that of the load before it became a short.
    expect(Math.abs(fields.current - 12_800 / 6.1)).toBeLessThan(60);
    expect(bench.isOff).toBe(true);
  });
});

describe("duty 4: the supply's window", () => {
  it.each([
    [9.5, 9_500],
    [16.4, 16_400],
  ])("takes everything off when the supply stands at %f V, and says so", (volts, millivolts) => {
    const bench = armedWith(steady(1_000));
    bench.get("hold", { channel: 0 });
    bench.run(100);
    bench.machine.setSupply(volts);
    const from = bench.nowMs;
    const { fields } = bench.await("off", 100);
    expect(fields.why).toBe("supply");
    expect(Math.abs(fields.value - millivolts)).toBeLessThan(60);
    expect(bench.offSinceMs - from).toBeLessThan(25);
    expect(bench.ask("arm", {})).toMatchObject({ code: "supply" });
    bench.machine.setSupply(12.8);
    bench.get("arm", {});
  });

  it("forgives a dip of 15 ms, as a cold filament makes on a tired battery", () => {
    const bench = armedWith(steady(1_000));
    bench.get("hold", { channel: 0 });
    bench.run(100);
    bench.machine.setSupply(9);
    bench.run(15);
    bench.machine.setSupply(12.8);
    bench.runTalking(300);
    expect(bench.machine.outputs.last.driveMask).toBe(1);
  });

  it("is the one that was set", () => {
    const bench = armedWith(steady(1_000), { supplyMin: 12_500, supplyMax: 13_000 });
    bench.machine.setSupply(12.2);
    expect(bench.await("off", 100).fields.why).toBe("supply");
  });
});

describe("duty 5: arming", () => {
  it("finds a channel that conducts though it is off, opens the relay and says which", () => {
    const bench = AskedBench.start();
    bench.machine.setStuckChannels(1 << 4);
    bench.get("roles", { used: 0x7f, senseOnly: 0x20, ground: 0x40 });
    const answer = bench.ask("arm", {});
    expect(answer).toMatchObject({ kind: "refusal", code: "stuck", fields: { channel: 4 } });
    expect(Math.abs((answer.fields as { volts: number }).volts - 12_800)).toBeLessThan(40);
    expect(bench.isOff).toBe(true);
    expect(bench.get("status", {}).state).toBe("idle");
    bench.machine.setStuckChannels(0);
    bench.get("arm", {});
  });

  it("is not put off by a pin on which a foreign supply stood before", () => {
    const bench = AskedBench.start();
    bench.side.foreign.set(2, 12.1);
    bench.arm();
    expect(bench.get("status", {}).state).toBe("armed");
  });

  it("finds a stuck channel behind a foreign supply of a few volts", () => {
    const bench = AskedBench.start();
    bench.side.foreign.set(2, 5);
    bench.machine.setStuckChannels(1 << 2);
    bench.get("roles", { used: 0x7f, senseOnly: 0x20, ground: 0x40 });
    expect(bench.ask("arm", {})).toMatchObject({ code: "stuck", fields: { channel: 2 } });
  });
});

describe("duty 6: every drive has an end", () => {
  /** Never settles: 200 Ω and 20 Ω in turn. */
  const flashing: Load = (seconds) => (Math.floor(seconds / 0.013) % 2 === 0 ? 200 : 20);

  it.each([10, 77, 500, 10_000])("after the %i ms given with it, if the current does not settle", (most) => {
    const bench = armedWith(flashing);
    bench.get("drive", { channel: 0, most });
    expect(bench.await("ended", most + 50).fields.end).toBe("time");
    expect(lastDriveMs(bench)).toBeLessThanOrEqual(most + 0.1);
    expect(lastDriveMs(bench)).toBeGreaterThan(most - 50 - most / 2);
    expect(bench.machine.outputs.last.driveMask).toBe(0);
    expect(bench.get("status", {}).state).toBe("armed");
  });

  it("and a held lamp goes out ten seconds after the last keep, though the host keeps talking", () => {
    const bench = armedWith(steady(6));
    const { measurement } = bench.get("hold", { channel: 0 });
    bench.runTalking(7_000);
    bench.get("keep", { measurement });
    const kept = bench.nowMs;
    bench.runTalking(9_800);
    expect(bench.machine.outputs.last.driveMask).toBe(1);
    const { fields } = bench.await("ended", 400);
    expect(fields).toMatchObject({ measurement, end: "unkept" });
    const off = bench.machine.outputs.last.atMs;
    expect(off - kept).toBeGreaterThan(9_990);
    expect(off - kept).toBeLessThanOrEqual(10_001);
    expect(bench.ask("keep", { measurement })).toMatchObject({ kind: "refusal", code: "stale" });
  });
});

describe("duty 7: after a trip", () => {
  it("the channel waits until its switch has cooled; another one need not", () => {
    const bench = armedWith(steady(0.8));
    bench.side.loads.set(1, steady(6));
    bench.get("drive", { channel: 0, most: 500 });
    expect(bench.await("ended", 300).fields.end).toBe("slow-trip");
    const tripped = bench.offSinceMs;
    bench.get("arm", {});
    bench.get("drive", { channel: 1, most: 300 });
    bench.await("ended", 400);
    const answer = bench.ask("drive", { channel: 0, most: 500 });
    expect(answer).toMatchObject({ kind: "refusal", code: "cooling" });
    const { wait } = answer.fields as { wait: number };
    expect(Math.abs(tripped + 2_000 - bench.nowMs - wait)).toBeLessThan(3);
    expect(bench.isOff).toBe(true);
    bench.run(wait - 20);
    bench.get("arm", {});
    expect(bench.ask("hold", { channel: 0 })).toMatchObject({ kind: "reply" });
  });

  it("waits as long as it was told to, and after a fast trip as well", () => {
    const bench = armedWith(steady(0.2), { cool: 5_000 });
    bench.get("drive", { channel: 0, most: 500 });
    bench.await("off", 50);
    bench.get("clear", {});
    bench.get("arm", {});
    const answer = bench.ask("hold", { channel: 0 });
    expect(answer).toMatchObject({ code: "cooling" });
    expect((answer.fields as { wait: number }).wait).toBeGreaterThan(4_800);
  });
});
