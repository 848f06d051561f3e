import { diodeVoltsAt } from "@pinwalk/host/circuit/diode.js";
import type { Network, Part } from "@pinwalk/host/circuit/network.js";
import { solve } from "@pinwalk/host/circuit/solve.js";
import { describe, expect, it } from "vitest";

const resistor = (id: string, a: string, b: string, ohms: number): Part => ({ kind: "resistor", id, a, b, ohms });
const ideal = (volts: number, plus = "1", minus = "0"): Part => ({
  kind: "source",
  id: "supply",
  plus,
  minus,
  volts,
  ohms: 0,
});

function solved(parts: readonly Part[], reference = "0") {
  const network: Network = { reference, parts };
  const solution = solve(network);
  if (solution.kind !== "solved") throw new Error(JSON.stringify(solution));
  expect(solution.residualAmps).toBeLessThan(1e-9);
  const volts = (node: string): number => solution.volts.get(node) ?? Number.NaN;
  const amps = (id: string): number => solution.amps.get(id) ?? Number.NaN;
  return { volts, amps };
}

// Lessons in Electric Circuits vol. III ch. 3, "Comparison of manufacturer model…" (Leeds-Beckett-Engineering/lessons_elec,
// src_pandoc/Semi/Chapter_3.md): printed currents of a diode across an ideal source, SPICE2G6 constants, 27 °C.
const printed = [
  {
    name: "IS 76.9 nA, N 1.45, RS 42.0 mΩ",
    model: { saturationAmps: 76.9e-9, ideality: 1.45, seriesOhms: 0.042 },
    points: [
      [0.7, 1.612924],
      [0.8002, 3.346832],
      [0.9, 5.31074],
      [0.925, 5.823654],
      [1.0, 7.395953],
      [1.1, 9.548779],
      [1.2, 11.74489],
      [1.3, 13.97087],
      [1.4, 16.21861],
    ],
  },
  {
    name: "IS 18.8 nA, N 2.0, RS 0",
    model: { saturationAmps: 18.8e-9, ideality: 2, seriesOhms: 0 },
    points: [
      [0.7, 0.01416211],
      [0.8002, 0.0982596],
      [0.9, 0.6764928],
      [0.925, 1.09687],
      [1.0, 4.675526],
      [1.1, 32.31452],
      [1.2, 223.3392],
      [1.4, 10668.4],
    ],
  },
  {
    name: "IS 18.8 nA, N 2.0, RS 28.6 mΩ",
    model: { saturationAmps: 18.8e-9, ideality: 2, seriesOhms: 0.0286 },
    points: [
      [0.701, 0.01432463],
      [0.8, 0.09297594],
      [0.9, 0.5102139],
      [0.925, 0.7318536],
      [1.0, 1.76352],
      [1.1, 3.848553],
      [1.2, 6.419621],
      [1.3, 9.254581],
    ],
  },
  {
    name: "the default diode: IS 1e-14 A, N 1, RS 0",
    model: { saturationAmps: 1e-14, ideality: 1, seriesOhms: 0 },
    points: [
      [0.7, 5.674683e-3],
      [0.8002, 0.2731709],
      [0.9, 12.94824],
      [1.0, 618.5078],
    ],
  },
] as const;

describe("a diode across an ideal source draws the printed current", () => {
  for (const { name, model, points } of printed) {
    it(name, () => {
      for (const [volts, amps] of points) {
        const diode: Part = { kind: "diode", id: "d", anode: "1", cathode: "0", model, celsius: 27 };
        const found = solved([ideal(volts), diode]);
        // The constants of 1980 give VT = 25.86419 mV where those of 2019 give 25.86493 mV: up to 29 ppm of V/(N·VT).
        expect(Math.abs(found.amps("d") / amps - 1)).toBeLessThan(3e-5 * (volts / (model.ideality * 0.02586)) + 3e-6);
        expect(found.amps("supply")).toBeCloseTo(-found.amps("d"), 9);
        expect(diodeVoltsAt(model, found.amps("d"), 27)).toBeCloseTo(volts, 6);
      }
    });
  }
});

describe("textbook circuits", () => {
  it("3 V over 10 kΩ and a diode (Sashi20/Scilab-TBC-Uploads-1, 3905/CH2/EX2.2): 0.224 mA at 0.757 V", () => {
    // The example takes VT = 26 mV, which is 28.57 °C; IS is given at the example's own temperature.
    const celsius = 0.026 / 8.617333262e-5 - 273.15;
    const model = { saturationAmps: 0.5e-16, ideality: 1, seriesOhms: 0, nominalCelsius: celsius };
    const diode: Part = { kind: "diode", id: "d", anode: "2", cathode: "0", model, celsius };
    const found = solved([ideal(3), resistor("r", "1", "2", 10_000), diode]);
    expect(found.amps("d") * 1000).toBeCloseTo(0.224257, 6);
    expect(found.volts("2")).toBeCloseTo(0.757427, 6);
  });

  it("an unbalanced bridge (Lessons in Electric Circuits vol. I ch. 10): 80/17, 90/17 and 10/17 V", () => {
    const found = solved([
      ideal(10),
      resistor("r1", "1", "2", 12),
      resistor("r2", "1", "3", 18),
      resistor("r3", "2", "3", 6),
      resistor("r4", "2", "0", 18),
      resistor("r5", "3", "0", 12),
    ]);
    expect(found.volts("1") - found.volts("2")).toBeCloseTo(80 / 17, 12);
    expect(found.volts("1") - found.volts("3")).toBeCloseTo(90 / 17, 12);
    expect(found.volts("2") - found.volts("3")).toBeCloseTo(10 / 17, 12);
    expect(found.amps("supply")).toBeCloseTo(-0.686275, 6);
  });

  it("a nearly balanced bridge with a meter (Helfrick & Cooper, Ex. 5-1): 3.3256 µA", () => {
    const found = solved(
      [
        ideal(5, "a", "c"),
        resistor("r1", "a", "b", 1000),
        resistor("r2", "a", "d", 100),
        resistor("r3", "d", "c", 200),
        resistor("r4", "b", "c", 2005),
        resistor("meter", "b", "d", 100),
      ],
      "c",
    );
    expect(Math.abs(found.amps("meter")) * 1e6).toBeCloseTo(3.325574, 5);
  });

  it("a balanced bridge carries nothing across (FOSSEE/Scilab-TBC-Uploads 1544/CH2/EX2.12)", () => {
    const found = solved(
      [
        ideal(12, "a", "c"),
        resistor("ab", "a", "b", 6),
        resistor("ad", "a", "d", 3),
        resistor("bc", "b", "c", 4),
        resistor("dc", "d", "c", 2),
        resistor("bd", "b", "d", 5),
      ],
      "c",
    );
    expect(Math.abs(found.amps("bd"))).toBeLessThan(1e-12);
  });

  it("a current source with 100 Ω and a diode in parallel: 0.697385 V (circuit of JulNadeauCA/edacious matlab/diode.m)", () => {
    const celsius = 0.025 / 8.617333262e-5 - 273.15;
    const model = { saturationAmps: 1e-14, ideality: 1, seriesOhms: 0, nominalCelsius: celsius };
    const found = solved([
      { kind: "current-source", id: "i", from: "0", to: "1", amps: 0.02 },
      resistor("r", "1", "0", 100),
      { kind: "diode", id: "d", anode: "1", cathode: "0", model, celsius },
    ]);
    expect(found.volts("1")).toBeCloseTo(0.697385, 6);
  });

  it("copper that warms from 20 to 35 °C (Lessons in Electric Circuits vol. I ch. 12): 12.42 V left at the load", () => {
    const loop = (celsius: number) => {
      const run = 15 * (1 + 0.004041 * (celsius - 20));
      return solved([
        ideal(14),
        resistor("out", "1", "2", run),
        resistor("load", "2", "3", 250),
        resistor("back", "3", "0", run),
      ]);
    };
    const cold = loop(20);
    expect(cold.volts("2") - cold.volts("3")).toBeCloseTo(12.5, 9);
    expect(cold.volts("3")).toBeCloseTo(0.75, 9);
    const warm = loop(35);
    expect(warm.volts("2") - warm.volts("3")).toBeCloseTo(12.4193, 4);
    expect(warm.volts("3")).toBeCloseTo(0.7903, 4);
  });
});
