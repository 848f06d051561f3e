import { diodeVoltsAt } from "@pinwalk/host/circuit/diode.js";
import { filamentAmps, filamentOhmsAt } from "@pinwalk/host/circuit/filament.js";
import { filamentHeating } from "@pinwalk/host/circuit/filament-heating.js";
import { ledAmps } from "@pinwalk/host/circuit/led.js";
import { tungstenKelvinAt, tungstenResistivity } from "@pinwalk/host/circuit/tungsten.js";
import { diodes } from "@pinwalk/host/plan/parts/diodes.js";
import { describe, expect, it } from "vitest";

const bulb1156 = { designVolts: 12.8, designAmps: 2.1 };

describe("tungsten", () => {
  // CRC Handbook after Forsythe & Worthing 1925 (Jones & Langmuir 1927 print the same): µΩ·cm by kelvin.
  const table = [
    [300, 5.65],
    [400, 8.06],
    [500, 10.56],
    [600, 13.23],
    [800, 19.0],
    [1000, 24.93],
    [1200, 30.98],
    [1500, 40.36],
    [1800, 50.05],
    [2000, 56.67],
    [2200, 63.48],
    [2400, 70.39],
    [2500, 73.91],
    [2600, 77.49],
    [2700, 81.04],
    [2800, 84.7],
    [3000, 92.04],
  ] as const;

  it("follows the handbook's table within 1.1 %", () => {
    for (const [kelvin, resistivity] of table) {
      expect(Math.abs(tungstenResistivity(kelvin) / resistivity - 1), `${kelvin} K`).toBeLessThan(0.011);
    }
    // Ratio 2800 K to 300 K: 84.70/5.65 = 14.99.
    expect(tungstenResistivity(2800) / tungstenResistivity(300)).toBeCloseTo(14.99, 0);
  });

  it("gives a filament's temperature back from its resistance", () => {
    for (const [kelvin] of table) {
      expect(tungstenKelvinAt(tungstenResistivity(kelvin) / tungstenResistivity(293.15))).toBeCloseTo(kelvin, 3);
    }
    // OpenStax College Physics Ex. 20.6: 0.350 Ω cold, 2830 °C hotter → 4.8 Ω by a constant coefficient; the table gives more.
    const hot = (0.35 * tungstenResistivity(2850 + 273)) / tungstenResistivity(293.15);
    expect(hot / 4.8).toBeGreaterThan(1);
    expect(hot / 4.8).toBeLessThan(1.3);
  });
});

describe("a settled filament", () => {
  it("draws I₀·(V/V₀)^0.55 from 10 to 16 V (lamp rerating, Standard Handbook for Electrical Engineers p. 22-8)", () => {
    const computed = [
      [10, 1.833],
      [11, 1.932],
      [12, 2.027],
      [12.8, 2.1],
      [13.5, 2.162],
      [14, 2.206],
      [14.4, 2.241],
      [16, 2.374],
    ] as const;
    for (const [volts, amps] of computed) expect(filamentAmps(bulb1156, volts)).toBeCloseTo(amps, 3);
    const minor = { designVolts: 14, designAmps: 0.59 };
    expect(filamentAmps(minor, 12)).toBeCloseTo(0.542, 3);
    expect(filamentAmps(minor, 12.8)).toBeCloseTo(0.562, 3);
    expect(filamentAmps(minor, 13.5)).toBeCloseTo(0.578, 3);
  });

  it("shows its cold resistance, 13 to 15 times less, to a few milliamps", () => {
    const ohms = 0.001 / filamentAmps(bulb1156, 0.001);
    expect(ohms).toBeGreaterThan(6.095 / 15);
    expect(ohms).toBeLessThan(6.095 / 13);
  });

  it("draws the same backwards", () => {
    expect(filamentAmps(bulb1156, -12)).toBeCloseTo(-filamentAmps(bulb1156, 12), 12);
  });
});

describe("a filament that heats up", () => {
  /** Drives a filament through `ohms` and returns current over time, in steps of 0.05 ms. */
  function switchOn(model: typeof bulb1156, volts: number, ohms: number, seconds: number): number[] {
    const heating = filamentHeating(model);
    let kelvin = heating.ambientKelvin;
    const amps: number[] = [];
    for (let time = 0; time < seconds; time += 5e-5) {
      const current = volts / (heating.ohmsAt(kelvin) + ohms);
      amps.push(current);
      kelvin = heating.step(kelvin, current * heating.ohmsAt(kelvin), 5e-5);
    }
    return amps;
  }
  const at = (amps: readonly number[], seconds: number): number => amps[Math.round(seconds / 5e-5)] ?? Number.NaN;

  it("ends at the settled law's current", () => {
    const amps = switchOn(bulb1156, 12, 0, 2);
    expect(amps.at(-1)).toBeCloseTo(filamentAmps(bulb1156, 12), 4);
  });

  it("starts at 10 to 15 times its current (lamptech.co.uk: around 14×; installation guides: 10–15×)", () => {
    const amps = switchOn(bulb1156, 12.8, 0, 0.01);
    expect((amps[0] ?? 0) / 2.1).toBeGreaterThan(10);
    expect((amps[0] ?? 0) / 2.1).toBeLessThan(15);
  });

  it("of a small lamp falls to about twice its current within a few milliseconds (driver-IC application note: 3–5 ms)", () => {
    const small = { designVolts: 14, designAmps: 0.1 };
    const amps = switchOn(small, 14, 2, 0.05);
    const milliseconds = amps.findIndex((current) => current < 2 * 0.1) * 0.05;
    expect(milliseconds).toBeGreaterThan(2);
    expect(milliseconds).toBeLessThan(10);
  });

  it("of 100 W at 120 V is stable in about 0.1 s (Wikipedia, Incandescent light bulb)", () => {
    const household = { designVolts: 120, designAmps: 100 / 120 };
    const amps = switchOn(household, 120, 0.5, 0.5);
    const settled = amps.at(-1) ?? Number.NaN;
    const seconds = amps.findIndex((current) => current < 1.02 * settled) * 5e-5;
    expect(seconds).toBeGreaterThan(0.05);
    expect(seconds).toBeLessThan(0.2);
  });

  it("is slower the thicker its wire: time goes as (P/V)^(2/3)", () => {
    const half = (model: typeof bulb1156): number => {
      const amps = switchOn(model, model.designVolts, 0, 0.5);
      return amps.findIndex((current) => current < 3 * model.designAmps);
    };
    const thin = half({ designVolts: 12.8, designAmps: 0.27 });
    const thick = half({ designVolts: 12.8, designAmps: 2.16 });
    expect(thick / thin).toBeCloseTo(8 ** (2 / 3), 0);
  });

  it("takes any step without running away, and cools down to the air around it", () => {
    const heating = filamentHeating(bulb1156, 25);
    let kelvin = heating.ambientKelvin;
    for (let step = 0; step < 50; step++) kelvin = heating.step(kelvin, 12.8, 0.25);
    expect(12.8 / heating.ohmsAt(kelvin)).toBeCloseTo(2.1, 3);
    for (let step = 0; step < 2000; step++) kelvin = heating.step(kelvin, 0, 0.25);
    expect(kelvin).toBeCloseTo(298.15, 0);
    expect(filamentOhmsAt(bulb1156, kelvin)).toBeLessThan(0.5);
  });

  it("still lets at least a tenth of a second's worth of inrush pass on a stop lamp", () => {
    const amps = switchOn(bulb1156, 12.8, 0.25, 0.6);
    expect(at(amps, 0.005)).toBeGreaterThan(2 * 2);
    const settled = amps.at(-1) ?? Number.NaN;
    const seconds = amps.findIndex((current) => current < 1.02 * settled) * 5e-5;
    expect(seconds).toBeGreaterThan(0.05);
    expect(seconds).toBeLessThan(0.4);
  });
});

describe("an LED lamp", () => {
  it("draws nothing below its knee, then rises in a straight line", () => {
    const led = { amps: 0.06, volts: 12.8, kneeVolts: 8 };
    expect(ledAmps(led, 7.9)).toBeLessThan(1e-9);
    expect(ledAmps(led, 10.4)).toBeCloseTo(0.03, 9);
    expect(ledAmps(led, 12.8)).toBeCloseTo(0.06, 9);
    expect(Math.abs(ledAmps(led, -12))).toBeLessThan(1e-9);
  });

  it("holds its current from one volt above the knee when it is regulated", () => {
    const led = { amps: 0.2, volts: 12.8, kneeVolts: 8, regulated: true };
    expect(ledAmps(led, 8.5)).toBeCloseTo(0.1, 9);
    for (const volts of [9, 10, 12.8, 16]) expect(ledAmps(led, volts)).toBeCloseTo(0.2, 9);
  });
});

describe("every diode of the parts library", () => {
  for (const diode of diodes) {
    it(`${diode.id} meets the points it was fitted to within 15 mV`, () => {
      expect(diode.points.length).toBeGreaterThan(0);
      for (const { amps, volts, celsius } of diode.points) {
        expect(Math.abs(diodeVoltsAt(diode.model, amps, celsius) - volts), `${amps} A at ${celsius} °C`).toBeLessThan(
          0.015,
        );
      }
    });
  }

  it("follows the printed drop of the 10A04 model over three decades (from its SPICE parameters, 27 °C)", () => {
    const model = diodes.find((diode) => diode.id === "silicon-10a")?.model;
    if (model === undefined) throw new Error("silicon-10a is gone");
    const computed = [
      [0.1, 0.623],
      [0.5, 0.709],
      [1, 0.747],
      [2, 0.786],
      [3, 0.81],
      [5, 0.841],
      [6, 0.853],
      [8, 0.872],
      [10, 0.888],
    ] as const;
    for (const [amps, volts] of computed) expect(diodeVoltsAt(model, amps, 27)).toBeCloseTo(volts, 3);
  });

  it("drops less when it is warm", () => {
    for (const { model } of diodes) expect(diodeVoltsAt(model, 1, 80)).toBeLessThan(diodeVoltsAt(model, 1, 20));
  });
});
