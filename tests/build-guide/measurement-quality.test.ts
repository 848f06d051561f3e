import { BOARD } from "@pinwalk/host/bench/virtual/board/board-values.js";
import { describe, expect, it } from "vitest";
import { ToldSide } from "../virtual-bench/told-side.js";
import { slotShare } from "./firmware-constants.js";
import * as paper from "./paper.js";
import { benchOnCable, drives, lowChecks, mean, scatter } from "./resistor-bench.js";

const times = 24;
/** Of 24 values the scatter lies within 0.5 and 1.6 times its true value in 9998 of 10000 samples (chi square, 23 degrees). */
const [least, most] = [0.5, 1.6];
/** Rounding to a whole millivolt or milliamp adds its own. */
const rounded = (deviation: number) => Math.hypot(deviation, 0.001 / Math.sqrt(12));

function expectScatter(values: readonly number[], deviation: number): void {
  const ratio = scatter(values) / deviation;
  expect(ratio).toBeGreaterThan(least);
  expect(ratio).toBeLessThan(most);
}

describe("what the bench can tell, as the guide derives it", () => {
  it("scatters a settled current as its number of conversions says, and hits Ohm's law", () => {
    const measured = drives(benchOnCable(47, 0.002), times);
    expect(Math.abs(mean(measured.map(({ samples }) => samples)) - paper.lookedSamples(3))).toBeLessThan(6);
    expectScatter(
      measured.map(({ amps }) => amps),
      rounded(paper.currentMeanAmps(3)),
    );
    const loads = 1 / (1 / 47 + 1 / 133_000);
    expect(mean(measured.map(({ amps }) => amps))).toBeCloseTo(12.8 / (0.1 + 0.008 + loads), 3);
  });

  it("takes the current in half of all conversions of a drive and a quarter of those of a look", () => {
    expect(slotShare("pattern_driving", "SLOT_CURRENT")).toBe(0.5);
    expect(slotShare("pattern_armed_look", "SLOT_CURRENT")).toBe(0.25);
    expect(slotShare("pattern_armed_look", "SLOT_LOOK")).toBe(10 / 16);
  });

  it("reads a little above zero without any current, and tells 10 mA from it", () => {
    const none = drives(benchOnCable(100_000, 0.002), times).map(({ amps }) => amps);
    expect(mean(none)).toBeGreaterThan(paper.zeroCounts * paper.countAmps - 0.0005);
    expect(mean(none)).toBeLessThan(paper.zeroCounts * paper.countAmps + 0.0012);
    const some = drives(benchOnCable(1270, 0.002), times).map(({ amps }) => amps);
    expect(Math.min(...some) - Math.max(...none)).toBeGreaterThan(3 * paper.currentMeanAmps(3));
  });

  it("measures a conductor of 100 mΩ from both ends in a cable check", () => {
    const ohms = drives(benchOnCable(47, 0.05), times).map(
      ({ near, far, amps }) => ((near[0] ?? 0) - (far[0] ?? 0)) / amps,
    );
    const deviation = Math.hypot(paper.driveOhms(0.27), (Math.SQRT2 * 0.001) / Math.sqrt(12) / 0.27);
    expectScatter(ohms, deviation);
    expect(Math.abs(mean(ohms) - 0.1)).toBeLessThan((3 * deviation) / Math.sqrt(times));
  });

  it("measures 10 Ω by the low-current check", () => {
    const ohms = lowChecks(benchOnCable(10, 0.002), times).map(
      (volts) => (volts * BOARD.lowSource.ohms) / (BOARD.lowSource.volts - volts),
    );
    const deviation = rounded(paper.pinMeanVolts) / 0.0044;
    expectScatter(ohms, deviation);
    expect(Math.abs(mean(ohms) - 10.008)).toBeLessThan((3 * deviation) / Math.sqrt(times));
  });

  it("reads a perfect short by the low-current check as the noise that is left above zero", () => {
    const volts = mean(lowChecks(benchOnCable(0.001, 0), times));
    expect(Math.abs(volts - paper.zeroCounts * paper.countVolts)).toBeLessThan(0.001);
  });

  it("scatters a pin that is not driven as 8 conversions do", () => {
    const side = new ToldSide();
    side.near[1] = 6.1;
    const measured = drives(benchOnCable(47, 0.002, { side }), times);
    expectScatter(
      measured.map(({ near }) => near[1] ?? Number.NaN),
      rounded(paper.otherMeanVolts),
    );
    expect(mean(measured.map(({ near }) => near[1] ?? Number.NaN))).toBeCloseTo(6.1, 2);
  });
});
