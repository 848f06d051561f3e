import { readFileSync } from "node:fs";
import { EmulatedBench } from "@pinwalk/host/bench/virtual/emulated-bench.js";
import { firmwareImagePath } from "@pinwalk/host/bench/virtual/firmware-image.js";
import { RealPace } from "@pinwalk/host/bench/virtual/pace/real-pace.js";
import { describe, expect, it } from "vitest";
import { ToldSide } from "./told-side.js";

function pacedBench() {
  const bench = new EmulatedBench({ imageHex: readFileSync(firmwareImagePath, "latin1"), side: new ToldSide() });
  let wallMs = 1_000_000;
  const pace = new RealPace(bench, () => wallMs);
  return {
    bench,
    pace,
    wallPasses: (milliseconds: number) => {
      wallMs += milliseconds;
    },
  };
}

describe("real pace", () => {
  it("keeps emulated time at the wall clock, slice by slice, and never ahead", () => {
    const { bench, pace, wallPasses } = pacedBench();
    for (let passed = 3; passed <= 300; passed += 3) {
      wallPasses(3);
      expect(pace.slice()).toEqual({ behind: false });
      // The last instruction is finished: a few cycles of 62.5 ns.
      expect(bench.nowMs).toBeGreaterThanOrEqual(passed);
      expect(bench.nowMs).toBeLessThan(passed + 0.01);
    }
  });

  it("catches up in short slices after a delay", () => {
    const { bench, pace, wallPasses } = pacedBench();
    wallPasses(100);
    expect(pace.slice()).toEqual({ behind: true });
    expect(bench.nowMs).toBeCloseTo(20, 1);
    while (pace.slice().behind);
    expect(bench.nowMs).toBeCloseTo(100, 1);
  });

  it("gives up a lag of more than a quarter of a second instead of racing after it", () => {
    const { bench, pace, wallPasses } = pacedBench();
    wallPasses(60_000);
    let slices = 1;
    while (pace.slice().behind) slices += 1;
    expect(slices).toBeLessThan(20);
    expect(bench.nowMs).toBeCloseTo(250, 0);
    wallPasses(5);
    pace.slice();
    expect(bench.nowMs).toBeCloseTo(255, 0);
  });
});
