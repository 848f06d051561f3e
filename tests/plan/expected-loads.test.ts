import { readdirSync, readFileSync } from "node:fs";
import { thermalVolts } from "@pinwalk/host/circuit/diode.js";
import { attachBench } from "@pinwalk/host/plan/attach-bench.js";
import { drivenPins, type ExpectedPin, expectedLoads, sourceOf } from "@pinwalk/host/plan/expected.js";
import { combinedCovariance } from "@pinwalk/host/plan/gum.js";
import { parsePlan } from "@pinwalk/host/plan/parse-plan.js";
import { correlationWithinType, tolerancesOf, varyPart } from "@pinwalk/host/plan/part-tolerance.js";
import { defaultLibrary } from "@pinwalk/host/plan/parts/parts-library.js";
import { planNetwork } from "@pinwalk/host/plan/plan-network.js";
import { describe, expect, it } from "vitest";
import { planJson, samplePlan, samplePlanNames } from "./sample-plans.js";

const byPin = (pins: readonly ExpectedPin[]): Record<string, ExpectedPin> =>
  Object.fromEntries(pins.map((one) => [one.pin, one]));

describe("the expected load of a pin", () => {
  it("of a stop lamp behind a silicon diode is its current at what the diode leaves it (2.10 A bulb, 12.0 V: 2.027 A)", () => {
    const pin = byPin(expectedLoads(samplePlan("hatchback-round-6"), { sourceVolts: 12.8 })).LT;
    const lamp = pin?.lampVolts["left-rear.bright"] ?? Number.NaN;
    expect(lamp).toBeGreaterThan(11.2);
    expect(lamp).toBeLessThan(11.8);
    expect(pin?.amps).toBeCloseTo(2.1 * (lamp / 12.8) ** 0.55, 3);
    expect(pin?.volts).toBeCloseTo(12.8 - 0.1 * (pin?.amps ?? 0), 6);
    expect(pin?.low).toBeLessThan(pin?.amps ?? 0);
    expect(pin?.high).toBeGreaterThan(pin?.amps ?? 0);
  });

  it("of LED lamps follows their line and not the filament's law", () => {
    const pins = byPin(expectedLoads(samplePlan("hatchback-led-flat-4"), { sourceVolts: 12.8 }));
    const tail = pins["2"];
    // Two lamps of 0.05 A at 12.8 V above a knee of 8 V, each with next to all of the 12.8 V.
    expect(tail?.amps).toBeCloseTo(2 * 0.05 * (((tail?.lampVolts["left-rear.dim"] ?? 0) - 8) / 4.8), 3);
    expect(pins["3"]?.amps).toBeCloseTo(0.38, 3);
    const low = byPin(expectedLoads(samplePlan("hatchback-led-flat-4"), { sourceVolts: 7.5 }));
    expect(low["2"]?.amps).toBeLessThan(1e-3);
  });

  it("in a 24 V plan is that of 24 V bulbs at 25.6 V unless told otherwise", () => {
    const pins = byPin(expectedLoads(samplePlan("tractor-24-volt-round-7")));
    // PY21W at 24 V: 28.02 W at 28 V.
    const lamp = pins["3"]?.lampVolts["left-turn.bright"] ?? Number.NaN;
    expect(lamp).toBeGreaterThan(24);
    expect(pins["3"]?.amps).toBeCloseTo((29.7 / 1.06 / 28) * (lamp / 28) ** 0.55, 3);
  });

  it("of a cable is what the far load lets through, and its far pin is where it should be", () => {
    const pins = byPin(expectedLoads(samplePlan("umbilical-blade-7-to-round-6"), { sourceVolts: 12.8 }));
    expect(pins.LT?.amps).toBeCloseTo(12.8 / 47.14, 3);
    expect(pins.LT?.farVolts.LT).toBeGreaterThan(12.7);
    expect(pins.LT?.farVolts.RT).toBeLessThan(0.02);
    expect(pins.GD).toBeUndefined();
  });

  it("rises with several lamps on one branch, and its band narrows as their own scatter averages out", () => {
    const pins = byPin(expectedLoads(samplePlan("pickup-markers-round-6")));
    const tail = pins.TM;
    const stop = pins.LT;
    expect(tail?.amps).toBeGreaterThan(2 * 0.43 + 7 * 0.24);
    expect((tail?.standardAmps ?? 1) / (tail?.amps ?? 1)).toBeLessThan((stop?.standardAmps ?? 0) / (stop?.amps ?? 1));
  });

  it("takes a circuit's own tolerance in place of the library's", () => {
    const plan = structuredClone(samplePlan("hatchback-round-6"));
    const wide =
      plan.kind === "install" ? { ...plan, circuits: plan.circuits.map((one) => ({ ...one, tolerance: 0.2 })) } : plan;
    const before = byPin(expectedLoads(plan)).LT;
    const after = byPin(expectedLoads(wide)).LT;
    expect((after?.standardAmps ?? 0) / (before?.standardAmps ?? 1)).toBeGreaterThan(1.8);
    expect(after?.amps).toBe(before?.amps);
  });

  it("of a coil is its resistance's, and a battery behind a charge line shows itself at rest", () => {
    const plan = structuredClone(planJson("pickup-markers-round-6")) as {
      circuits: { pin: string; function: string; wire: object; feeds: object[] }[];
      sockets: object[];
      senseOnly: string[];
    };
    const wire = { awg: 12, metres: 6, colour: "blue" };
    plan.circuits.push({ pin: "S", function: "brake", wire, feeds: [{ to: "magnets.bright", isolation: "none" }] });
    plan.sockets.push({ id: "magnets", lamps: { bright: { kind: "coil", ohms: 3.2, count: 2 } } });
    const charge = plan.circuits.find((one) => one.pin === "A");
    if (charge !== undefined) charge.feeds = [{ to: "house.bright", isolation: "none" }];
    plan.sockets.push({ id: "house", lamps: { bright: { kind: "battery", volts: 12.6, ohms: 0.02 } } });
    plan.senseOnly = ["A"];
    const parsed = parsePlan(plan);
    if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
    const pins = byPin(expectedLoads(parsed.plan, { sourceVolts: 12.8 }));
    expect(pins.S?.amps).toBeCloseTo((pins.S?.lampVolts["magnets.bright"] ?? 0) / 1.6, 2);
    expect(pins.A?.senseOnly).toBe(true);
    const bench = attachBench(planNetwork(parsed.plan));
    bench.rest();
    expect(bench.run().kind).toBe("solved");
    expect(bench.pinVolts("A")).toBeCloseTo(12.6, 2);
  });

  it("of a long thin wire falls as the copper warms", () => {
    const plan = samplePlan("hatchback-round-6");
    const at = (ambientC: number): number =>
      byPin(expectedLoads(plan, { ambientC })).LT?.lampVolts["left-rear.bright"] ?? 0;
    // The diode gains more than the copper loses: about 1.5 mV a kelvin against 0.6.
    expect(at(50)).toBeGreaterThan(at(-10));
    const bare = structuredClone(planJson("hatchback-round-6")) as { circuits: { feeds: { isolation: string }[] }[] };
    for (const circuit of bare.circuits) for (const feed of circuit.feeds) feed.isolation = "none";
    const parsed = parsePlan(bare);
    if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
    const drop = (ambientC: number): number => {
      const pin = byPin(expectedLoads(parsed.plan, { ambientC })).LT;
      return ((pin?.volts ?? 0) - (pin?.lampVolts["left-rear.bright"] ?? 0)) / (pin?.amps ?? 1);
    };
    expect(drop(50)).toBeGreaterThan(drop(-10));
  });

  it("is the same to the last bit when asked twice", () => {
    for (const name of samplePlanNames)
      expect(expectedLoads(samplePlan(name))).toEqual(expectedLoads(samplePlan(name)));
  });
});

describe("the band", () => {
  it("is what a Monte Carlo over the same tolerances shows (JCGM 101): spread within 10 %, about 95 % inside", () => {
    let state = 12345;
    const random = (): number => {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      return (state + 0.5) / 2 ** 32;
    };
    for (const name of ["hatchback-round-6", "pickup-markers-round-6", "wagon-amber-turn-blade-7"]) {
      const plan = samplePlan(name);
      const built = planNetwork(plan);
      const source = sourceOf(plan, {});
      const tolerances = tolerancesOf(built, defaultLibrary);
      // Of the band, only the parts: the tester's own share is taken off by a perfect tester.
      const perfect = { amps: { relative: 0, offset: 0 }, volts: { relative: 0, offset: 0 } };
      const expected = byPin(expectedLoads(plan, { uncertainty: perfect }));
      const pins = drivenPins(built);
      const drawn = new Map<string, number[]>(pins.map((pin) => [pin, []]));
      for (let draw = 0; draw < 400; draw++) {
        const batch = new Map<string, number>();
        const unit = (): number => Math.sqrt(3) * (2 * random() - 1);
        const amounts = new Map(
          tolerances.map(({ partId, standard, type }) => {
            if (type === undefined) return [partId, standard * unit()];
            if (!batch.has(type)) batch.set(type, unit());
            const shared = Math.sqrt(correlationWithinType) * (batch.get(type) ?? 0);
            return [partId, standard * (shared + Math.sqrt(1 - correlationWithinType) * unit())];
          }),
        );
        const parts = built.parts.map((part) => varyPart(part, amounts.get(part.id) ?? 0, thermalVolts(20)));
        const bench = attachBench({ ...built, parts }, source);
        for (const pin of pins) {
          bench.drive(pin);
          bench.run();
          drawn.get(pin)?.push(bench.sourceAmps());
        }
      }
      for (const [pin, amps] of drawn) {
        const mean = amps.reduce((sum, one) => sum + one, 0) / amps.length;
        const spread = Math.sqrt(amps.reduce((sum, one) => sum + (one - mean) ** 2, 0) / (amps.length - 1));
        const { amps: wanted = Number.NaN, standardAmps = Number.NaN, low = 0, high = 0 } = expected[pin] ?? {};
        expect(Math.abs(mean / wanted - 1), `${name} ${pin}`).toBeLessThan(0.01);
        expect(Math.abs(spread / standardAmps - 1), `${name} ${pin}`).toBeLessThan(0.1);
        const inside = amps.filter((one) => one >= low && one <= high).length / amps.length;
        expect(inside, `${name} ${pin}`).toBeGreaterThan(0.93);
      }
    }
  });

  it("holds the currents of the healthy made cases, whose filament model is another (fixtures/cases)", () => {
    const folder = new URL("../../fixtures/cases/", import.meta.url);
    let judged = 0;
    for (const name of readdirSync(folder)) {
      if (!name.endsWith(".json")) continue;
      const made = JSON.parse(readFileSync(new URL(name, folder), "utf8"));
      if (made.truth.length > 0) continue;
      const parsed = parsePlan(made.plan);
      if (!parsed.ok) throw new Error(name);
      const { source, tester, ambientC, drives } = made.readings;
      const expected = byPin(
        expectedLoads(parsed.plan, {
          sourceVolts: source.volts,
          sourceOhms: source.ohms,
          senseOhms: source.senseOhms,
          uncertainty: tester.uncertainty,
          ambientC,
        }),
      );
      for (const { pin, amps } of drives) {
        const band = expected[pin];
        expect(amps, `${name} ${pin}`).toBeGreaterThan(band?.low ?? Number.NaN);
        expect(amps, `${name} ${pin}`).toBeLessThan(band?.high ?? Number.NaN);
        judged++;
      }
    }
    expect(judged).toBeGreaterThan(50);
  });
});

describe("the GUM rule", () => {
  // JCGM 100:2008 Annex H.2 (via MSLNZ/GTC docs/API/GUM_H2.rst): R, X and Z from V, I and φ that are correlated.
  const inputs = [4.999, 19.661e-3, 1.04446] as const;
  const standard = [3.2e-3, 9.5e-6, 7.5e-4] as const;
  const correlation = (i: number, j: number): number =>
    ({ "01": -0.36, "02": 0.86, "12": -0.65 })[[i, j].sort().join("")] ?? 0;
  const results = {
    R: (v: number, i: number, phi: number) => (v / i) * Math.cos(phi),
    X: (v: number, i: number, phi: number) => (v / i) * Math.sin(phi),
    Z: (v: number, i: number) => v / i,
  };
  const changes = (result: (v: number, i: number, phi: number) => number): number[] =>
    inputs.map((_, at) => {
      const shifted = (sign: number) =>
        inputs.map((value, k) => (k === at ? value + sign * (standard[at] ?? 0) : value));
      const [v1 = 0, i1 = 0, p1 = 0] = shifted(1);
      const [v2 = 0, i2 = 0, p2 = 0] = shifted(-1);
      return (result(v1, i1, p1) - result(v2, i2, p2)) / 2;
    });

  it("combines correlated inputs as the guide's example does", () => {
    const [r, x, z] = [changes(results.R), changes(results.X), changes(results.Z)];
    const u = (one: number[]): number => Math.sqrt(combinedCovariance(one, one, correlation));
    expect(u(r)).toBeCloseTo(0.06998, 4);
    expect(u(x)).toBeCloseTo(0.2957, 3);
    expect(u(z)).toBeCloseTo(0.2366, 3);
    const between = (a: number[], b: number[]): number => combinedCovariance(a, b, correlation) / (u(a) * u(b));
    expect(between(r, x)).toBeCloseTo(-0.588, 2);
    expect(between(r, z)).toBeCloseTo(-0.49, 2);
    expect(between(x, z)).toBeCloseTo(0.99, 2);
  });

  it("combines uncorrelated ones by the root of squares: 12.00 ± 0.06 V over 2.00 ± 0.02 A is 6.000 ± 0.067 Ω", () => {
    expect(Math.sqrt(combinedCovariance([0.03, -0.06], [0.03, -0.06], () => 0))).toBeCloseTo(0.0671, 4);
  });
});
