import { readFileSync } from "node:fs";
import { encodePush } from "@pinwalk/firmware-protocol/bench-line.js";
import { packWindows } from "@pinwalk/firmware-protocol/window-packing.js";
import { designCalibration, roundedCalibration } from "@pinwalk/host/bench/bench-calibration.js";
import { BenchSession } from "@pinwalk/host/bench/bench-session.js";
import { openVirtualBench } from "@pinwalk/host/bench/virtual/virtual-bench.js";
import type { WatchBlock, WatchGap, WatchOptions } from "@pinwalk/host/bench/watch-values.js";
import { adapterOf } from "@pinwalk/host/plan/adapter.js";
import { parsePlan } from "@pinwalk/host/plan/parse-plan.js";
import { describe, expect, it } from "vitest";
import { ManualClock } from "./manual-clock.js";
import { ScriptedBench } from "./scripted-bench.js";

const setup = { used: 0x010f, senseOnly: 0, ground: 0x0100 };
const flex = { mode: "drive", what: "far", below: 6 } as const satisfies WatchOptions;

async function scripted() {
  const clock = new ManualClock();
  const bench = new ScriptedBench(clock);
  const session = await clock.until(BenchSession.open(bench));
  await clock.until(session.configure(setup));
  await clock.until(session.arm());
  return { clock, bench, session };
}

const windowsPush = (measurement: number, first: number, means: readonly number[]) =>
  encodePush("windows", {
    measurement,
    first,
    current: 271,
    near: 12_773,
    windows: packWindows(means.map((mean) => ({ least: mean - 8, mean, greatest: mean + 8, edges: 1 }))),
  });

describe("a watch through the session", () => {
  it("asks in millivolts and gives windows and interruptions in volts and milliseconds", async () => {
    const { clock, bench, session } = await scripted();
    const blocks: WatchBlock[] = [];
    const gaps: WatchGap[] = [];
    const watch = await clock.until(
      session.watch(0, { ...flex, onBlock: (block) => blocks.push(block), onGap: (gap) => gaps.push(gap) }),
    );
    expect(bench.heard.at(-1)?.fields).toEqual({ channel: 0, mode: "drive", what: "far", below: 6_000 });
    bench.say(windowsPush(watch.measurement, 0, [12_000, 12_004]));
    bench.say(windowsPush(watch.measurement, 18, [11_000]));
    bench.say(windowsPush(watch.measurement + 1, 0, [1_000]));
    bench.say(encodePush("gap", { measurement: watch.measurement, at: 12_345, length: 17 }));
    await clock.pass(5);
    expect(blocks.map(({ first, windows }) => [first, windows.length])).toEqual([
      [0, 2],
      [18, 1],
    ]);
    expect(blocks[0]).toMatchObject({ amps: 0.271, nearVolts: 12.773 });
    expect(blocks[0]?.windows[1]).toEqual({ least: 11.996, mean: 12.004, greatest: 12.012, edges: 1 });
    expect(gaps).toEqual([{ atMs: 1234.5, lengthMs: 1.7 }]);
  });

  it("ends with the bench's own sums, even when the word of the end is lost", async () => {
    const { clock, bench, session } = await scripted();
    const watch = await clock.until(session.watch(0, flex));
    bench.toHost = (line) => (Buffer.from(line).includes("~ended") ? undefined : line);
    bench.endDrive("slow-trip");
    const summary = await clock.until(watch.ended);
    expect(summary).toEqual({
      measurement: watch.measurement,
      end: "slow-trip",
      windows: 500,
      droppedWindows: 0,
      gaps: 2,
      longestGapMs: 3.1,
      totalGapMs: 4.2,
    });
    expect(session.armed).toBe(false);
  });

  it("keeps the bench awake while it only listens, and stops when told", async () => {
    const clock = new ManualClock();
    const bench = new ScriptedBench(clock);
    const session = await clock.until(BenchSession.open(bench));
    const watch = await clock.until(session.watch(9, { mode: "listen", what: "near", below: 5 }));
    const before = bench.heard.length;
    await clock.pass(2_000);
    expect(bench.heard.slice(before).map(({ name }) => name)).toContain("ping");
    await clock.until(session.keep());
    expect(bench.heard.at(-1)).toMatchObject({ name: "keep", fields: { measurement: watch.measurement } });
    await clock.until(session.off());
    expect((await clock.until(watch.ended)).end).toBe("asked");
    const after = bench.heard.length;
    await clock.pass(2_000);
    expect(bench.heard.length).toBe(after);
  });

  it("rejects when it is refused, and the bench is off then", async () => {
    const { clock, bench, session } = await scripted();
    bench.onRequest = (request) =>
      request.name === "watch" ? bench.refuse(request, "live", { channel: 0, volts: 5_000 }) : "answered";
    await expect(clock.until(session.watch(0, flex))).rejects.toMatchObject({ code: "refused" });
    expect(bench.relayClosed).toBe(false);
    expect(session.offIsConfirmed).toBe(true);
  });

  it("rejects when the bench is lost", async () => {
    const { clock, bench, session } = await scripted();
    const watch = await clock.until(session.watch(0, flex));
    bench.unplug();
    await expect(clock.until(watch.ended)).rejects.toMatchObject({ code: "port-lost" });
  });
});

describe("constants through the session", () => {
  it("are refused as not taken when the bench has others in force than asked", async () => {
    const { clock, bench, session } = await scripted();
    await clock.until(session.off());
    bench.onRequest = (request) =>
      request.name === "stage" ? bench.reply(request, { ...request.fields, value: 1 }) : "answered";
    await expect(clock.until(session.stage(designCalibration))).rejects.toMatchObject({
      code: "not-taken",
      problem: { what: "constants" },
    });
  });

  it("come back as they were staged, rounded to the steps of the wire", async () => {
    const { clock, session } = await scripted();
    await clock.until(session.off());
    const calibration = {
      ...designCalibration,
      current: { gain: 1.0123, offset: -0.0107 },
      lowSource: { volts: 4.3456, ohms: 1004.4 },
    };
    await clock.until(session.stage(calibration));
    const back = await clock.until(session.calibration());
    expect(back).toEqual(roundedCalibration(calibration));
    expect(Math.abs(back.current.gain - 1.0123)).toBeLessThan(25e-6);
    expect(Math.abs(back.current.offset + 0.0107)).toBeLessThan(0.000_16);
    expect(back.lowSource).toEqual({ volts: 4.346, ohms: 1004 });
    expect(await clock.until(session.store("2026-11-25"))).toBe(1);
    expect(session.identity.calibratedAt).toBe("2026-11-25");
  });
});

describe("a watch with the firmware's own image, emulated", () => {
  it("follows a cable's conductor at both ends, with none lost", async () => {
    const file = new URL("../../fixtures/plans/umbilical-blade-7-to-round-6.json", import.meta.url);
    const parsed = parsePlan(JSON.parse(readFileSync(file, "utf8")));
    if (!parsed.ok) throw new Error("the sample plan does not parse");
    const adapter = adapterOf(parsed.plan);
    const bench = await openVirtualBench({ plan: parsed.plan, pace: "fast" });
    const session = await BenchSession.open(bench);
    await session.configure({ used: adapter.usedMask, senseOnly: adapter.senseOnlyMask, ground: adapter.groundMask });
    await session.arm();
    const { channel } = adapter.near.find(({ pin }) => pin === "LT") ?? { channel: 0 };
    const blocks: WatchBlock[] = [];
    const watch = await session.watch(channel, { ...flex, what: "near", onBlock: (block) => blocks.push(block) });
    await new Promise<void>((resolve) => {
      bench.clock.after(1_500, resolve);
    });
    await session.keep();
    await session.off();
    const summary = await watch.ended;
    expect(summary).toMatchObject({ end: "asked", gaps: 0, droppedWindows: 0 });
    expect(blocks.reduce((next, { first, windows }) => (first === next ? next + windows.length : -1), 0)).toBe(
      summary.windows,
    );
    expect(summary.windows).toBeGreaterThan(740);
    expect(blocks.at(-2)?.nearVolts).toBeGreaterThan(12);
    await session.close();
  });
});
