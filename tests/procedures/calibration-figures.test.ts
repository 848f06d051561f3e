import { dueDate } from "@pinwalk/host/procedures/calibration/calibration-document.js";
import { designReading, fitInput } from "@pinwalk/host/procedures/calibration/input-fit.js";
import { fitLine } from "@pinwalk/host/procedures/calibration/line-fit.js";
import { fitLowSource } from "@pinwalk/host/procedures/calibration/low-source-fit.js";
import { propagate, resultCorrelation } from "@pinwalk/host/procedures/calibration/propagate.js";
import fc from "fast-check";
import { describe, expect, it } from "vitest";

describe("uncertainty of a result", () => {
  it("is that of a resistance from volts and amps (6.000 Ω, 0.0671 Ω)", () => {
    const { value, u } = propagate(
      ([volts = 0, amps = 1]) => volts / amps,
      [
        { value: 12, u: 0.06 },
        { value: 2, u: 0.02 },
      ],
    );
    expect(value).toBe(6);
    expect(u).toBeCloseTo(0.0671, 4);
  });

  it("follows the correlation of its inputs (JCGM 100:2008, H.2: R 127.732(70), X 219.85(30), Z 254.26(24) Ω)", () => {
    const inputs = [
      { value: 4.999, u: 3.2e-3 },
      { value: 19.661e-3, u: 9.5e-6 },
      { value: 1.04446, u: 7.5e-4 },
    ];
    const table = [
      [1, -0.36, 0.86],
      [-0.36, 1, -0.65],
      [0.86, -0.65, 1],
    ];
    const correlation = (i: number, j: number): number => table[i]?.[j] ?? 0;
    const resistance = ([v = 0, i = 1, phi = 0]: readonly number[]) => (v / i) * Math.cos(phi);
    const reactance = ([v = 0, i = 1, phi = 0]: readonly number[]) => (v / i) * Math.sin(phi);
    const impedance = ([v = 0, i = 1]: readonly number[]) => v / i;
    const r = propagate(resistance, inputs, correlation);
    expect(r.value).toBeCloseTo(127.732, 3);
    expect(r.u).toBeCloseTo(0.06998, 3);
    const x = propagate(reactance, inputs, correlation);
    expect(x.value).toBeCloseTo(219.85, 2);
    expect(x.u).toBeCloseTo(0.2957, 3);
    const z = propagate(impedance, inputs, correlation);
    expect(z.value).toBeCloseTo(254.26, 2);
    expect(z.u).toBeCloseTo(0.2366, 3);
    expect(resultCorrelation(resistance, reactance, inputs, correlation)).toBeCloseTo(-0.588, 2);
    expect(resultCorrelation(resistance, impedance, inputs, correlation)).toBeCloseTo(-0.49, 1);
    expect(resultCorrelation(reactance, impedance, inputs, correlation)).toBeCloseTo(0.99, 2);
  });
});

describe("a line through comparisons", () => {
  it("finds gain and offset that were put in, and residuals of what does not lie on it", () => {
    const at = (design: number, error = 0) => ({
      design,
      reference: 1.02 * design - 0.05 + error,
      u: 0.01,
      sharedU: 0,
    });
    const line = fitLine([at(3), at(7), at(11)]);
    expect(line.slope).toBeCloseTo(1.02, 9);
    expect(line.intercept).toBeCloseTo(-0.05, 9);
    expect(fitLine([at(3), at(7, 0.03), at(11)]).residuals.map((one) => Math.round(one * 1000))).toEqual([
      -10, 20, -10,
    ]);
  });

  it("is least certain far from where it was compared, and a common scale goes through undiminished", () => {
    const own = fitLine([3, 7, 11].map((design) => ({ design, reference: design, u: 0.01, sharedU: 0 })));
    // Three alike in the middle: 0.01/√3; four away from it: √(1/3 + 16/32) times.
    expect(own.uAt(7)).toBeCloseTo(0.01 / Math.sqrt(3), 9);
    expect(own.uAt(11)).toBeCloseTo(0.01 * Math.sqrt(1 / 3 + 16 / 32), 9);
    const shared = fitLine([3, 7, 11].map((design) => ({ design, reference: design, u: 0, sharedU: 0.004 * design })));
    for (const volts of [1, 7, 15]) expect(shared.uAt(volts)).toBeCloseTo(0.004 * volts, 9);
  });

  it("has a gain alone from one comparison", () => {
    const fit = fitInput([{ design: 12.5, reference: 12.75, u: 0.01, sharedU: 0.05 }], {
      readingU: 0.007,
      scaleU: 0.004,
      most: 16.5,
    });
    expect(fit.correction).toEqual({ gain: 1.02, offset: 0 });
  });

  it("claims, as relative part and offset together, no less than it has anywhere in the range", () => {
    const point = fc.record({
      design: fc.double({ min: 0.5, max: 16, noNaN: true }),
      u: fc.double({ min: 1e-4, max: 0.1, noNaN: true }),
    });
    fc.assert(
      fc.property(
        fc.uniqueArray(point, { minLength: 2, maxLength: 5, selector: ({ design }) => Math.round(design * 4) }),
        (points) => {
          const scaleU = 0.003;
          const comparisons = points.map(({ design, u }) => ({
            design,
            reference: design,
            u,
            sharedU: scaleU * design,
          }));
          const { uncertainty } = fitInput(comparisons, { readingU: 0.005, scaleU, most: 16 });
          const line = fitLine(comparisons);
          return [0, 1, 4, 8, 12, 16].every(
            (volts) =>
              Math.hypot(uncertainty.relative * volts, uncertainty.offset) >= Math.hypot(line.uAt(volts), 0.005) - 1e-9,
          );
        },
      ),
    );
  });
});

describe("the low-current source", () => {
  it("comes out of two readings as it went in", () => {
    const pin = (ohms: number) => (4.31 * ohms) / (ohms + 1080);
    const beside = (ohms: number) => 1 / (1 / ohms + 1 / 133_000);
    const exact = (value: number) => ({ value, u: 0 });
    const fit = fitLowSource(exact(pin(133_000)), exact(pin(beside(998))), { value: 998, u: 5 }, 133_000);
    expect(fit.volts.value).toBeCloseTo(4.31, 6);
    expect(fit.ohms.value).toBeCloseTo(1080, 3);
    // Half a percent of the resistor is half a percent of the source's, and a hundredth more for the divider.
    expect(fit.ohms.u / fit.ohms.value).toBeCloseTo((5 / 998) * (1 + 1080 / 133_000), 5);
  });
});

it("a reading with other constants in force gives the design's reading back", () => {
  expect(designReading(1.05 * (12 - 0.2), { gain: 1.05, offset: 0.2 })).toBeCloseTo(12, 9);
});

it("a calibration is due a year later, and what is no date is never due", () => {
  for (const text of ["-", "today", "2026-13-40"]) expect(dueDate(text)).toBeUndefined();
  expect(dueDate("2026-11-25")).toBe("2027-11-25");
  expect(dueDate("2024-02-29")).toBe("2025-03-01");
});
