import { describe, expect, it } from "vitest";
import { AskedBench } from "./asked-bench.js";
import { steady } from "./loaded-side.js";
import { follow, gapsOf, watch, windowsOf } from "./watched-bench.js";

/** A cable's conductor with a far load, driven by channel 0; `broken` says when it is interrupted. */
function cable(broken: (atSeconds: number) => boolean = () => false): AskedBench {
  const bench = AskedBench.start();
  bench.side.loads.set(0, (secondsOn) => (broken(since + secondsOn) ? 1e9 : 47));
  bench.side.far.set(0, (atSeconds) => (broken(atSeconds) ? 0 : bench.side.nearVolts(0, atSeconds) * 0.99));
  bench.arm();
  const since = bench.nowMs / 1000;
  return bench;
}

const farDriven = { channel: 0, mode: "drive", what: "far", below: 6_000 } as const;

describe("a watch", () => {
  it("sends every window of 2 ms, with what was at the far pin and through it", () => {
    const bench = cable();
    const measurement = watch(bench, farDriven);
    const from = bench.nowMs;
    follow(bench, measurement, 3_000);
    const windows = windowsOf(bench, measurement);
    expect(windows.map(({ number }) => number)).toEqual(windows.map((_, at) => at));
    // At most one line of 16 windows is on its way.
    expect(windows.length).toBeGreaterThan((bench.nowMs - from) / 2 - 20);
    for (const { least, mean, greatest } of windows.slice(20)) {
      expect(Math.abs(mean - 12_650)).toBeLessThan(20);
      expect(least).toBeLessThanOrEqual(mean);
      expect(greatest).toBeGreaterThanOrEqual(mean);
      expect(greatest - least).toBeLessThan(100);
    }
    const block = bench.pushes.findLast(({ push }) => push.name === "windows")?.push.fields;
    expect(block).toMatchObject({ measurement });
    expect(Math.abs((block as { current: number }).current - 271)).toBeLessThan(6);
    expect(Math.abs((block as { near: number }).near - 12_773)).toBeLessThan(20);
    bench.get("off", {});
    expect(bench.isOff).toBe(true);
    const summary = bench.get("watched", { measurement });
    expect(summary).toMatchObject({ end: "asked", dropped: 0, gaps: 0, longest: 0, total: 0 });
    expect(windowsOf(bench, measurement)).toHaveLength(summary.windows);
  }, 30_000);

  it("catches every interruption of 1 ms at whatever phase, with its length to 0.25 ms", () => {
    // Phases that wander over the 0.21 ms between two conversions, 1.0 to 2.5 ms long, none under 40 ms apart.
    const gaps = Array.from({ length: 60 }, (_, at) => ({
      at: 0.15 + at * 0.0413 + ((at * 37) % 60) * 0.0000071,
      length: 0.001 + (at % 6) * 0.0003,
    }));
    let origin = Number.POSITIVE_INFINITY;
    const bench = cable((seconds) =>
      gaps.some(({ at, length }) => seconds - origin >= at && seconds - origin < at + length),
    );
    const measurement = watch(bench, farDriven);
    origin = bench.nowMs / 1000;
    follow(bench, measurement, 2_800);
    const told = gapsOf(bench, measurement);
    expect(told).toHaveLength(gaps.length);
    const shift = (told[0]?.at ?? 0) / 10_000 - (gaps[0]?.at ?? 0);
    told.forEach(({ at, length }, index) => {
      const gap = gaps[index] ?? { at: 0, length: 0 };
      expect(Math.abs(length / 10 - gap.length * 1000)).toBeLessThan(0.36);
      expect(Math.abs(at / 10_000 - shift - gap.at)).toBeLessThan(0.0005);
    });
    bench.get("off", {});
    const summary = bench.get("watched", { measurement });
    expect(summary.gaps).toBe(gaps.length);
    expect(summary.total).toBe(told.reduce((sum, { length }) => sum + length, 0));
    expect(summary.longest).toBe(Math.max(...told.map(({ length }) => length)));
  }, 30_000);

  it("lets interruptions of half a millisecond pass, and shows them in its windows", () => {
    let origin = Number.POSITIVE_INFINITY;
    const bench = cable((seconds) => seconds > origin && (seconds - origin) % 0.05 < 0.0005);
    const measurement = watch(bench, farDriven);
    bench.run(100);
    origin = bench.nowMs / 1000 + 0.013;
    follow(bench, measurement, 500);
    expect(gapsOf(bench, measurement)).toHaveLength(0);
    expect(windowsOf(bench, measurement).filter(({ least }) => least < 1_000).length).toBeGreaterThan(8);
  }, 20_000);

  it("tells of an interruption that goes on when the watch ends", () => {
    let broken = false;
    const bench = cable(() => broken);
    const measurement = watch(bench, farDriven);
    bench.run(100);
    broken = true;
    bench.run(50);
    expect(gapsOf(bench, measurement)).toHaveLength(0);
    bench.get("off", {});
    const [gap] = gapsOf(bench, measurement);
    expect(Math.abs((gap?.length ?? 0) - 500)).toBeLessThan(20);
    expect(bench.get("watched", { measurement })).toMatchObject({ gaps: 1, total: gap?.length });
  });

  it("tells of a conductor that never comes up as one interruption from 20 ms on", () => {
    const bench = cable(() => true);
    const measurement = watch(bench, farDriven);
    bench.run(200);
    bench.get("off", {});
    const gaps = gapsOf(bench, measurement);
    expect(gaps).toHaveLength(1);
    expect(Math.abs((gaps[0]?.at ?? 0) - 200)).toBeLessThan(10);
  });

  it("follows the current and the low-current source as well", () => {
    const bench = cable();
    const current = watch(bench, { channel: 0, mode: "drive", what: "current", below: 130 });
    bench.run(200);
    for (const { mean } of windowsOf(bench, current).slice(20)) expect(Math.abs(mean - 271)).toBeLessThan(16);
    bench.get("off", {});
    bench.arm();
    bench.side.loads.set(0, steady(1_000));
    const low = watch(bench, { channel: 0, mode: "low", what: "near", below: 1_000 });
    expect(bench.machine.outputs.last).toMatchObject({ driveMask: 0, lowMask: 1 });
    bench.run(200);
    for (const { mean } of windowsOf(bench, low).slice(20)) expect(Math.abs(mean - 2_200)).toBeLessThan(30);
    bench.get("off", {});
    expect(bench.isOff).toBe(true);
  });
});

describe("listening", () => {
  it("drives nothing, needs no arming, and shows a pulse-width modulated wire by edges, least, mean and greatest", () => {
    const bench = AskedBench.start();
    bench.side.foreign.set(9, (seconds) => ((seconds * 200) % 1 < 0.3 ? 12 : 0));
    const measurement = watch(bench, { channel: 9, mode: "listen", what: "near", below: 6_000 });
    const from = bench.nowMs;
    follow(bench, measurement, 2_000);
    const windows = windowsOf(bench, measurement);
    const seconds = windows.length * 0.002;
    expect(Math.abs(seconds - (bench.nowMs - from) / 1000)).toBeLessThan(0.05);
    const edges = windows.reduce((sum, window) => sum + window.edges, 0);
    expect(Math.abs(edges / seconds - 200)).toBeLessThan(2);
    const mean = windows.reduce((sum, window) => sum + window.mean, 0) / windows.length;
    expect(Math.abs(mean / 12_000 - 0.3)).toBeLessThan(0.01);
    expect(bench.machine.outputs.entries.some(({ relayClosed, lowMask }) => relayClosed || lowMask !== 0)).toBe(false);
    expect(bench.get("status", {}).state).toBe("idle");
    bench.get("off", {});
    expect(bench.get("watched", { measurement })).toMatchObject({ end: "asked", dropped: 0 });
  }, 20_000);

  it("is allowed on a sense-only and on a ground channel", () => {
    const bench = AskedBench.start();
    bench.get("roles", { used: 0x7f, senseOnly: 0x20, ground: 0x40 });
    for (const channel of [5, 6]) {
      watch(bench, { channel, mode: "listen", what: "near", below: 1_000 });
      bench.get("off", {});
    }
  });

  it("ends by itself without keep, and without a host", () => {
    const bench = AskedBench.start();
    const fields = { channel: 3, mode: "listen", what: "near", below: 1_000 } as const;
    watch(bench, fields);
    const kept = bench.await("ended", 11_000);
    expect(kept.fields.end).toBe("unkept");
    const silent = watch(bench, fields);
    const from = bench.nowMs;
    const end = bench.await("ended", 2_000, false);
    expect(end.fields).toMatchObject({ measurement: silent, end: "silence" });
    expect(Math.abs(end.atMs - from - 1_000)).toBeLessThan(20);
  }, 30_000);
});

describe("the duties, in a watch", () => {
  it("off one second after the last valid line", () => {
    const bench = cable();
    watch(bench, farDriven);
    const from = bench.nowMs;
    bench.run(1_100);
    expect(bench.isOff).toBe(true);
    expect(bench.offSinceMs - from).toBeLessThan(1_005);
    expect(bench.pushNames()).toContain("off");
  });

  it("off after ten seconds that nobody has kept", () => {
    const bench = cable();
    watch(bench, farDriven);
    expect(bench.await("ended", 10_200).fields.end).toBe("unkept");
    expect(bench.machine.outputs.last.driveMask).toBe(0);
  }, 30_000);

  it.each(["slow-trip", "fast-trip", "supply"] as const)("off at %s", (end) => {
    const bench = cable();
    const measurement = watch(bench, farDriven);
    bench.run(60);
    const from = bench.nowMs;
    if (end === "slow-trip") bench.side.loads.set(0, steady(0.9));
    if (end === "fast-trip") bench.side.loads.set(0, steady(0.05));
    // The comparator is told; the converter sees by itself.
    if (end !== "supply") bench.machine.plugIn(bench.side);
    if (end === "supply") bench.machine.setSupply(9);
    bench.run(130);
    expect(bench.isOff).toBe(true);
    expect(bench.offSinceMs - from).toBeLessThan(end === "fast-trip" ? 1 : end === "supply" ? 25 : 103);
    expect(bench.get("watched", { measurement }).end).toBe(end);
  });

  it("off at anything asked for that would touch outputs, and at a garbled line", () => {
    for (const disturb of [
      (bench: AskedBench) => bench.ask("low", { channel: 1 }),
      (bench: AskedBench) => bench.ask("watch", farDriven),
      (bench: AskedBench) => bench.sendRaw("?00 rest*0000\n"),
    ]) {
      const bench = cable();
      watch(bench, farDriven);
      bench.run(60);
      disturb(bench);
      bench.run(2);
      expect(bench.isOff).toBe(true);
    }
  });

  it("refuses to drive or feed what a drive would not", () => {
    const bench = cable();
    const refused = (fields: Partial<Parameters<typeof watch>[1]>) => bench.ask("watch", { ...farDriven, ...fields });
    expect(refused({ channel: 5 })).toMatchObject({ kind: "refusal", code: "sense-only" });
    bench.arm();
    expect(refused({ channel: 6, mode: "low" })).toMatchObject({ kind: "refusal", code: "ground" });
    bench.arm();
    expect(refused({ channel: 7 })).toMatchObject({ kind: "refusal", code: "unused" });
    bench.arm();
    bench.side.foreign.set(1, 5);
    expect(refused({ channel: 1 })).toMatchObject({ kind: "refusal", code: "live" });
    expect(refused({ channel: 0 })).toMatchObject({ kind: "refusal", code: "not-armed" });
  });
});
