import { benchUncertainty } from "@pinwalk/host/procedures/bench-uncertainty.js";
import { expect, test } from "vitest";

test("a bench that was never calibrated carries the larger uncertainty in every part", () => {
  const design = benchUncertainty(undefined);
  const calibrated = benchUncertainty("2026-11-01");
  for (const quantity of ["amps", "volts"] as const) {
    expect(design[quantity].relative).toBeGreaterThan(calibrated[quantity].relative);
    expect(design[quantity].offset).toBeGreaterThan(calibrated[quantity].offset);
  }
});

test("the design uncertainty follows from the parts' tolerances, worked by hand", () => {
  // Three 1 % parts and a 0.2 % reference, rectangular: sqrt((3 * 1² + 0.2²) / 3) % = 1.007 %, twice.
  expect(benchUncertainty(undefined).amps.relative).toBeCloseTo(0.02014, 4);
  // Two converter steps of 10 mA and 0.5 mV over 20 mΩ (25 mA), rectangular: sqrt(20² + 25²) / sqrt(3) mA = 18.5 mA, twice.
  expect(benchUncertainty(undefined).amps.offset).toBeCloseTo(0.037, 3);
});
