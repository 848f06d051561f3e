import { describe, expect, it } from "vitest";
import { AskedBench } from "../firmware/asked-bench.js";
import { follow, gapsOf, watch } from "../firmware/watched-bench.js";
import { slotShare } from "./firmware-constants.js";
import { alwaysCountedMs, neverCountedMs } from "./paper.js";

const times = 30;

/** How many of 30 interruptions of a driven conductor are told; they wander over the time between two conversions. */
function counted(milliseconds: number): number {
  const starts = Array.from({ length: times }, (_, at) => 0.15 + at * 0.0413 + ((at * 37) % times) * 0.000014);
  let origin = Number.POSITIVE_INFINITY;
  const bench = AskedBench.start();
  const broken = (seconds: number) =>
    starts.some((start) => seconds - origin >= start && seconds - origin < start + milliseconds / 1000);
  bench.side.loads.set(0, () => 47);
  bench.side.far.set(0, (atSeconds) => (broken(atSeconds) ? 0 : bench.side.nearVolts(0, atSeconds) * 0.99));
  bench.arm();
  const measurement = watch(bench, { channel: 0, mode: "drive", what: "far", below: 6_000 });
  origin = bench.nowMs / 1000;
  follow(bench, measurement, 1_600);
  return gapsOf(bench, measurement).length;
}

describe("the shortest interruption, as the guide derives it", () => {
  it("is looked for with every second conversion of a watch", () => {
    expect(slotShare("pattern_stream", "SLOT_STREAM")).toBe(0.5);
  });

  it("is counted every time at the length that the guide calls always", () => {
    expect(counted(alwaysCountedMs)).toBe(times);
  });

  it("is counted no time at the length that the guide calls never", () => {
    expect(counted(neverCountedMs)).toBe(0);
  });

  it("is counted now and then between the two", () => {
    const between = counted((alwaysCountedMs + neverCountedMs) / 2);
    expect(between).toBeGreaterThan(0);
    expect(between).toBeLessThan(times);
  });
});
