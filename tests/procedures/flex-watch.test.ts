import type { CablePlan } from "@pinwalk/host/plan/plan-schema.js";
import { usualFlexThresholds } from "@pinwalk/host/procedures/flex-watch/flex-thresholds.js";
import { flexVerdict } from "@pinwalk/host/procedures/flex-watch/flex-verdict.js";
import { FlexWatch, type FlexWatchOptions, placesOf } from "@pinwalk/host/procedures/flex-watch/flex-watch.js";
import type { FlexEvent } from "@pinwalk/host/procedures/flex-watch/flex-watch-events.js";
import { describe, expect, it } from "vitest";
import { ManualClock } from "../link/manual-clock.js";
import { playedWindows } from "./played-signal.js";
import { type Played, PlayingBench } from "./playing-bench.js";
import { fixturePlan } from "./scripted-walk.js";

/** Both ends alike, so that every conductor's far voltage can be followed. */
const straight = { ...fixturePlan("extension-iso-1724") } as CablePlan;
/** The same with two conductors crossed on purpose. */
const crossed: CablePlan = {
  ...straight,
  conductors: straight.conductors.map((one, index, all) => ({
    ...one,
    far: all[[1, 0][index] ?? index]?.far ?? one.far,
  })),
};
const lengthMs = 2000;

/** A conductor of so many ohms, which may change, into its far load. */
function conductor(ohmsAt: (atMs: number) => number, loadOhms: number, gaps: Played["gaps"] = []): Played {
  const nearVolts = 12.6;
  const amps = nearVolts / (loadOhms + ohmsAt(0));
  const isOpen = (atMs: number) => gaps.some((gap) => gap.atMs <= atMs && atMs < gap.atMs + gap.lengthMs);
  const windows = playedWindows((atMs) => (isOpen(atMs) ? 0 : nearVolts - amps * ohmsAt(atMs)), lengthMs);
  return { windows, amps, nearVolts, gaps };
}

function flex(plan: CablePlan, play: (channel: number) => Played, options: Partial<FlexWatchOptions> = {}) {
  const clock = new ManualClock();
  const bench = new PlayingBench(clock, play);
  bench.watched = { windows: lengthMs / 2, dropped: 0, gaps: 0, longest: 0, total: 0 };
  const watch = new FlexWatch({ plan, port: bench, forMs: lengthMs - 100, ...options });
  return { clock, bench, watch };
}

describe("a cable that is moved", () => {
  const [first] = placesOf(straight, undefined);

  it("holds: each conductor driven in turn into its load, followed at its far end, and passed", async () => {
    const { clock, bench, watch } = flex(straight, () => conductor(() => 0.05, straight.farLoadOhms));
    const outcome = await clock.until(watch.outcome);
    if (outcome.kind !== "watched") throw new Error(JSON.stringify(outcome));
    expect(outcome.overall).toBe("pass");
    const places = placesOf(straight, undefined);
    expect(bench.watches.map(({ channel }) => channel)).toEqual(places.map(({ channel }) => channel));
    for (const { mode, what, below } of bench.watches) expect([mode, what, below]).toEqual(["drive", "far", 6400]);
    for (const { ohms, judged } of outcome.conductors) {
      expect(ohms?.mean).toBeCloseTo(0.05, 1);
      expect(judged.kind).toBe("steady");
    }
    expect(bench.relayClosed).toBe(false);
    expect(bench.timesClosed).toBeGreaterThan(0);
  });

  it("tells each interruption as it comes, and fails by the bench's own count", async () => {
    const gaps = [
      { atMs: 700, lengthMs: 3 },
      { atMs: 1200, lengthMs: 1.2 },
    ];
    const pins = [first?.pin ?? ""];
    const { clock, bench, watch } = flex(straight, () => conductor(() => 0.05, straight.farLoadOhms, gaps), { pins });
    bench.watched = { windows: lengthMs / 2, dropped: 0, gaps: 2, longest: 30, total: 42 };
    const outcome = await clock.until(watch.outcome);
    const events: FlexEvent[] = [];
    for await (const event of watch) events.push(event);
    expect(events.flatMap((event) => (event.kind === "gap" ? [event.gap] : []))).toEqual(gaps);
    if (outcome.kind !== "watched") throw new Error(JSON.stringify(outcome));
    expect(outcome.overall).toBe("fail");
    const [only] = outcome.conductors;
    expect(only?.judged).toMatchObject({
      kind: "interrupted",
      words: expect.stringContaining("2 times, the longest for 3.0 ms"),
    });
    // The windows in which it was interrupted are no resistance.
    expect(only?.ohms?.greatest).toBeLessThan(0.1);
    const strip = events.flatMap((event) => (event.kind === "strip" ? [event.point] : []));
    expect(strip.length).toBeGreaterThan(50);
    expect(Math.min(...strip.map(({ least }) => least))).toBeLessThan(1);
  });

  it("fails a crimp that wavers, and passes it where that is allowed", async () => {
    const wavering = () => conductor((atMs) => (atMs > 800 && atMs < 1300 ? 0.4 : 0.05), straight.farLoadOhms);
    for (const [mostSpreadOhms, kind] of [
      [0.1, "wavering"],
      [0.5, "steady"],
    ] as const) {
      const { clock, watch } = flex(straight, wavering, {
        pins: [first?.pin ?? ""],
        thresholds: { ...usualFlexThresholds, mostSpreadOhms },
      });
      const outcome = await clock.until(watch.outcome);
      if (outcome.kind !== "watched") throw new Error(JSON.stringify(outcome));
      expect(outcome.conductors[0]?.judged.kind).toBe(kind);
      const { greatest = 0, least = 0 } = outcome.conductors[0]?.ohms ?? {};
      expect(greatest - least).toBeCloseTo(0.35, 1);
    }
  });

  it("is followed by its current where the two ends sit on different channels, and says what that can tell", async () => {
    const place = placesOf(crossed, undefined).find(({ followed }) => followed === "amps");
    if (place === undefined) throw new Error("every conductor of this cable sits straight");
    const amps = 12.6 / 47;
    const { clock, bench, watch } = flex(
      crossed,
      () => ({ windows: playedWindows(() => amps, lengthMs), amps, nearVolts: 12.6 }),
      { pins: [place.pin] },
    );
    const outcome = await clock.until(watch.outcome);
    expect(bench.watches[0]).toMatchObject({ what: "current", below: Math.round(12_800 / 2 / 47) });
    expect(outcome).toMatchObject({ kind: "watched", overall: "pass" });
    if (outcome.kind === "watched")
      expect(outcome.conductors[0]?.judged.words).toMatch(/less than 0\.3 Ω.*by its current alone/);
  });

  it("stops with everything off when it is cancelled", async () => {
    const { clock, bench, watch } = flex(straight, () => conductor(() => 0.05, straight.farLoadOhms));
    clock.after(700, () => watch.cancel());
    expect(await clock.until(watch.outcome)).toEqual({ kind: "cancelled", outputs: "confirmed-off" });
    expect([bench.relayClosed, bench.drivenChannel]).toEqual([false, undefined]);
  });

  it("could not test a conductor that trips, and says to walk the cable first", async () => {
    const { clock, bench, watch } = flex(straight, () => conductor(() => 0.05, straight.farLoadOhms));
    clock.after(700, () => bench.endDrive("slow-trip"));
    expect(await clock.until(watch.outcome)).toMatchObject({
      kind: "could-not-test",
      code: "interrupted",
      message: expect.stringContaining("shorted"),
      outputs: "confirmed-off",
    });
  });

  it("refuses a pin that is a ground or not there, before it drives anything", async () => {
    const { clock, bench, watch } = flex(straight, () => ({ windows: [] }), { pins: ["no-such"] });
    expect(await clock.until(watch.outcome)).toMatchObject({ kind: "could-not-test", code: "no-such-conductor" });
    expect(bench.heard.map(({ name }) => name)).not.toContain("arm");
    expect(bench.timesClosed).toBeGreaterThan(0);
  });
});

describe("the verdict on a conductor", () => {
  const watched = {
    pin: "TM",
    followed: "far-volts",
    lengthMs: 10_000,
    gaps: [],
    gapCount: 0,
    longestGapMs: 0,
    totalGapMs: 0,
    lostWindows: 0,
  } as const;

  it("is open where it never carried anything, and unsure where nothing was seen", () => {
    expect(
      flexVerdict({ ...watched, gapCount: 1, longestGapMs: 9980, totalGapMs: 9980 }, usualFlexThresholds).kind,
    ).toBe("open");
    expect(flexVerdict({ ...watched, lengthMs: 0 }, usualFlexThresholds).verdict).toBe("unsure");
  });

  it("leaves out interruptions that are shorter than asked for, and allows as many as asked for", () => {
    const gaps = [
      { atMs: 100, lengthMs: 0.8 },
      { atMs: 300, lengthMs: 2 },
    ];
    const two = { ...watched, gaps, gapCount: 2, longestGapMs: 2, totalGapMs: 2.8 };
    const kind = (leastGapMs: number, mostGaps: number) =>
      flexVerdict(two, { ...usualFlexThresholds, leastGapMs, mostGaps }).kind;
    expect(kind(1, 0)).toBe("interrupted");
    expect(kind(1, 1)).toBe("steady");
    expect(kind(0.75, 1)).toBe("interrupted");
    expect(kind(3, 0)).toBe("steady");
  });
});
