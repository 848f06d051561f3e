import { attachBench } from "@pinwalk/host/plan/attach-bench.js";
import { type Fault, faultKinds, faultPlaces, faultProblem, faultText, parseFault } from "@pinwalk/host/plan/fault.js";
import { planNetwork } from "@pinwalk/host/plan/plan-network.js";
import type { Plan } from "@pinwalk/host/plan/plan-schema.js";
import { describe, expect, it } from "vitest";
import { samplePlan, samplePlanNames } from "./sample-plans.js";

const hatchback = samplePlan("hatchback-round-6");
const umbilical = samplePlan("umbilical-blade-7-to-round-6");

function benchWith(plan: Plan, ...texts: string[]) {
  const faults = texts.map((text): Fault => {
    const read = parseFault(text);
    if (!read.ok) throw new Error(read.message);
    return read.fault;
  });
  const bench = attachBench(planNetwork(plan, { faults }));
  return {
    amps: (pin: string): number => {
      bench.vehicle([]);
      bench.drive(pin);
      bench.run();
      return bench.sourceAmps();
    },
    low: (pin: string, seen = pin): number => {
      bench.vehicle([]);
      bench.low(pin);
      bench.run();
      return bench.pinVolts(seen);
    },
    seen: (pin: string): number => bench.pinVolts(pin),
    far: (pin: string): number => bench.farVolts(pin),
    backFeed: (vehicle: string, pin: string): number => {
      bench.rest();
      bench.vehicle([vehicle]);
      bench.run();
      return bench.pinVolts(pin);
    },
    rest: (pin: string): number => {
      bench.vehicle([]);
      bench.rest();
      bench.run();
      return bench.pinVolts(pin);
    },
  };
}

describe("a fault's text", () => {
  it("is read back as it is written, joint places in alphabetical order", () => {
    for (const text of [
      "open@lamp:left-rear.bright",
      "high-resistance@pin:TM=1.2",
      "wrong-lamp@lamp:left-rear.dim=194",
    ]) {
      const read = parseFault(text);
      expect(read.ok && faultText(read.fault)).toBe(text);
    }
    expect(parseFault("bridge@wire:TM+wire:LT")).toEqual({
      ok: true,
      fault: { kind: "bridge", at: "wire:LT+wire:TM" },
    });
  });

  it("that makes no sense is refused in words", () => {
    expect(parseFault("melted@wire:LT")).toMatchObject({
      ok: false,
      message: expect.stringContaining("short-to-ground"),
    });
    expect(parseFault("open")).toMatchObject({ ok: false, message: expect.stringContaining("KIND@PLACE") });
    expect(parseFault("bridge@wire:LT+wire:TM=none")).toMatchObject({
      ok: false,
      message: expect.stringContaining("ohms"),
    });
    expect(parseFault("open@pin:LT=3")).toMatchObject({ ok: false });
    expect(parseFault("wrong-lamp@lamp:left-rear.dim")).toMatchObject({ ok: false });
  });
});

describe("a fault's place", () => {
  it("that the plan does not have is refused with the places that it has", () => {
    expect(faultProblem({ kind: "open", at: "lamp:left-front.bright" }, hatchback)).toContain("lamp:left-rear.bright");
    expect(faultProblem({ kind: "open", at: "far:LT" }, hatchback)).toContain('no "far:LT"');
    expect(faultProblem({ kind: "diode-reversed", at: "feed:LT/left-rear.bright" }, umbilical)).toContain("no place");
    expect(faultProblem({ kind: "wrong-lamp", at: "lamp:left-rear.bright", instead: "9999" }, hatchback)).toContain(
      'no bulb "9999"',
    );
    expect(() => planNetwork(hatchback, { faults: [{ kind: "open", at: "wire:A" }] })).toThrow("wire:LT");
  });

  it("is one of the plan's for every kind at every place that is listed, and every one of them can be solved", () => {
    for (const name of samplePlanNames) {
      const plan = samplePlan(name);
      const faults = faultPlaces(plan);
      expect(new Set(faults.map((fault) => faultText(fault))).size).toBe(faults.length);
      for (const fault of faults) {
        expect(faultProblem(fault, plan)).toBeUndefined();
        const bench = attachBench(planNetwork(plan, { faults: [fault] }));
        bench.drive(bench.built.pins[0] ?? "");
        expect(bench.run().kind, `${name} ${faultText(fault)}`).toBe("solved");
      }
    }
  });

  it("covers every kind that the format names", () => {
    expect(new Set(faultPlaces(hatchback).map((fault) => fault.kind))).toEqual(new Set(faultKinds));
  });
});

describe("in an installation", () => {
  const healthy = benchWith(hatchback);

  it("an open lamp, trunk, contact, feed or ground takes its circuit's current away and no other's", () => {
    for (const at of ["lamp:left-rear.bright", "wire:LT", "pin:LT", "feed:LT/left-rear.bright"]) {
      const bench = benchWith(hatchback, `open@${at}`);
      expect(bench.amps("LT"), at).toBeLessThan(0.001);
      expect(bench.low("LT")).toBeGreaterThan(4.3);
      expect(bench.amps("RT")).toBeCloseTo(healthy.amps("RT"), 4);
    }
    const floating = benchWith(hatchback, "open@ground-bond");
    for (const pin of ["LT", "RT", "TM"]) expect(floating.amps(pin)).toBeLessThan(0.001);
  });

  it("a high resistance lowers the current by what it adds", () => {
    const bench = benchWith(hatchback, "high-resistance@wire:RT=1.53");
    expect(bench.amps("RT")).toBeLessThan(0.9 * healthy.amps("RT"));
    expect(bench.amps("LT")).toBeCloseTo(healthy.amps("LT"), 6);
  });

  it("a short before the diode shows no diode to the low-current source, one behind it does", () => {
    expect(benchWith(hatchback, "short-to-ground@wire:TM").low("TM")).toBeLessThan(0.01);
    expect(benchWith(hatchback, "short-to-ground@lamp-feed:left-rear.dim").low("TM")).toBeGreaterThan(0.4);
    expect(benchWith(hatchback, "short-to-ground@wire:TM").amps("TM")).toBeGreaterThan(20);
  });

  it("a foreign supply is seen at rest", () => {
    expect(benchWith(hatchback, "short-to-power@pin:RT").rest("RT")).toBeGreaterThan(12);
    expect(Math.abs(healthy.rest("RT"))).toBeLessThan(0.001);
  });

  it("a bridge between trunks shows each on the other, one between lamp feeds does not", () => {
    const trunks = benchWith(hatchback, "bridge@wire:LT+wire:TM");
    expect(trunks.amps("LT")).toBeGreaterThan(healthy.amps("LT") + 0.9 * healthy.amps("TM"));
    expect(trunks.seen("TM")).toBeGreaterThan(12);
    const feeds = benchWith(hatchback, "bridge@lamp-feed:left-rear.bright+lamp-feed:left-rear.dim");
    expect(feeds.amps("LT")).toBeGreaterThan(healthy.amps("LT") + 0.4);
    expect(feeds.seen("TM")).toBeLessThan(0.1);
  });

  it("swapped wires exchange their circuits", () => {
    const bench = benchWith(hatchback, "swap@pin:LT+pin:TM");
    expect(bench.amps("LT")).toBeCloseTo(healthy.amps("TM"), 6);
    expect(bench.amps("TM")).toBeCloseTo(healthy.amps("LT"), 6);
  });

  it("a shorted isolation diode lets the vehicle's own lamps feed the connector; a shorted factory diode lights the factory's loads", () => {
    const tow = benchWith(hatchback, "diode-shorted@feed:RT/right-rear.bright");
    expect(tow.backFeed("right-stop-turn", "RT")).toBeGreaterThan(11);
    expect(healthy.backFeed("right-stop-turn", "RT")).toBeLessThan(0.05);
    expect(tow.low("RT")).toBeLessThan(0.01);
    const factory = benchWith(hatchback, "factory-diode-shorted@lamp-feed:right-rear.bright");
    expect(factory.amps("RT")).toBeGreaterThan(1.9 * healthy.amps("RT"));
  });

  it("a reversed diode blocks its lamp and passes the vehicle's own supply", () => {
    const bench = benchWith(hatchback, "diode-reversed@feed:TM/left-rear.dim");
    expect(bench.amps("TM")).toBeLessThan(0.6 * healthy.amps("TM"));
    expect(bench.backFeed("tail", "TM")).toBeGreaterThan(11);
  });

  it("a wrong lamp draws its own current", () => {
    expect(benchWith(hatchback, "wrong-lamp@lamp:left-rear.bright=194").amps("LT")).toBeCloseTo(0.255, 1);
  });
});

describe("in a cable", () => {
  it("a swap at the far end leads each conductor to the other's pin", () => {
    const bench = benchWith(umbilical, "swap@far:LT+far:RT");
    bench.amps("LT");
    expect(bench.far("RT")).toBeGreaterThan(12);
    expect(bench.far("LT")).toBeLessThan(0.1);
  });

  it("a wire in an empty cavity is a swap with nothing", () => {
    const bench = benchWith(umbilical, "swap@pin:AX+pin:LT");
    expect(bench.amps("LT")).toBeLessThan(0.001);
    expect(bench.amps("AX")).toBeGreaterThan(0.25);
  });

  it("an open ground leaves the far side floating", () => {
    const bench = benchWith(umbilical, "open@wire:GD");
    expect(bench.amps("LT")).toBeLessThan(0.002);
    expect(bench.far("GD")).toBeGreaterThan(11);
  });
});
