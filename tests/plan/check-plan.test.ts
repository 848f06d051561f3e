import { checkPlan } from "@pinwalk/host/plan/check/check-plan.js";
import type { Remark } from "@pinwalk/host/plan/check/remark.js";
import { cutList } from "@pinwalk/host/plan/cut-list.js";
import { parsePlan } from "@pinwalk/host/plan/parse-plan.js";
import { describe, expect, it } from "vitest";
import { planJson, samplePlan, samplePlanNames } from "./sample-plans.js";

// biome-ignore lint/suspicious/noExplicitAny: a test bends an untyped document on purpose
function remarksOn(name: string, change: (plan: any) => void, supplyVolts?: number): Remark[] {
  const plan = structuredClone(planJson(name));
  change(plan);
  const parsed = parsePlan(plan);
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
  return checkPlan(parsed.plan, supplyVolts === undefined ? {} : { supplyVolts });
}
const of = (remarks: readonly Remark[], code: string): Remark[] => remarks.filter((remark) => remark.code === code);
const install = "hatchback-round-6";

describe("the check of a plan", () => {
  it("has nothing but figures to say about the loan hatchback", () => {
    const remarks = checkPlan(samplePlan(install));
    expect(remarks.filter((remark) => remark.severity !== "note")).toEqual([]);
    expect(of(remarks, "lamp-voltage")).toHaveLength(4);
  });

  it("gives each remark a severity, a sentence, a place and a source, and a unit with each number; the worst come first", () => {
    const rank = { problem: 0, warning: 1, note: 2 };
    for (const name of samplePlanNames) {
      const remarks = checkPlan(samplePlan(name));
      for (const remark of remarks) {
        expect(remark.text).toMatch(/\.$/);
        expect(remark.source.length).toBeGreaterThan(5);
        expect(remark.where).not.toBe("");
        if (remark.value !== undefined) expect(remark.unit).toBeDefined();
        expect(remark.text).not.toMatch(/NaN|undefined|Infinity/);
      }
      const ranks = remarks.map((remark) => rank[remark.severity]);
      expect(ranks).toEqual([...ranks].sort());
    }
  });

  it("finds a lamp below 85 % of its design volts (13 CCR 1249(c): 12.8 V → 10.88 V, 14.0 V → 11.9 V)", () => {
    const remarks = remarksOn(install, (plan) => (plan.circuits[0].wire = { awg: 20, metres: 30 }));
    const [low] = of(remarks, "lamp-voltage-low");
    expect(low).toMatchObject({ severity: "problem", unit: "V", where: "lamp:left-rear.bright" });
    expect(low?.limit).toBeCloseTo(10.88, 9);
    expect(low?.value).toBeLessThan(10.88);
    expect(of(checkPlan(samplePlan(install)), "lamp-voltage").map((remark) => remark.limit)).toContain(0.85 * 14);
  });

  it("finds a wire that carries too much, and the fuse that does not fit it", () => {
    const remarks = remarksOn("pickup-markers-round-6", (plan) => {
      plan.circuits[0].wire = { awg: 20, metres: 3, colour: "yellow" };
      plan.sockets[0].count = 9;
      plan.circuits[1].fuseAmps = 30;
      plan.circuits[2].fuseAmps = 2;
    });
    expect(of(remarks, "wire-overloaded")[0]).toMatchObject({ severity: "problem", where: "wire:LT", limit: 15 });
    expect(of(remarks, "fuse-too-large")[0]).toMatchObject({ value: 30, limit: 20, where: "wire:RT" });
    expect(of(remarks, "fuse-too-small")[0]).toMatchObject({ value: 2, where: "wire:TM" });
    expect(of(remarks, "no-fuse-suits")[0]).toMatchObject({ where: "wire:LT" });
    expect(of(remarks, "diode-overloaded")[0]).toMatchObject({ limit: 6, where: "feed:LT/left-rear.bright" });
    expect(of(remarks, "above-tester")[0]).toMatchObject({ limit: 10, where: "pin:LT" });
  });

  it("counts the whole lamp on each of two circuits that share it, as each lights it alone", () => {
    const remarks = remarksOn("hatchback-round-6", (plan) => {
      plan.connector = "blade-7";
      plan.circuits.push({
        pin: "AX",
        function: "stop",
        wire: { awg: 16, metres: 5.8 },
        feeds: ["left-rear.bright", "right-rear.bright"].map((to) => ({ to, isolation: "silicon-6a" })),
      });
    });
    // Two stop lamps of 2.1 A at 12.8 V: 2 × 2.1 A × (12.3 V / 12.8 V)^0.55 = 4.1 A, more than a 5 A fuse carries for long.
    expect(of(remarks, "fuse-suits").find((remark) => remark.where === "wire:AX")?.value).toBe(7.5);
    const load = remarks.find((remark) => /^tow-load/.test(remark.code) && remark.where === "pin:AX");
    expect(load?.value).toBeGreaterThan(3.9);
    const drop = of(remarks, "diode-loss").find((remark) => remark.where === "feed:LT/left-rear.bright");
    expect(drop?.text).toMatch(/at 2\.\d+ A/);
  });

  it("tells each diode's loss: about 0.83 V and 1.7 W under a stop lamp", () => {
    const [diode] = of(checkPlan(samplePlan(install)), "diode-loss");
    expect(diode?.value).toBeGreaterThan(1.5);
    expect(diode?.value).toBeLessThan(1.9);
  });

  it("finds what the connector does not allow (SAE J1239: 7.5 A; SAE J2863 signal circuits: 5 A)", () => {
    const remarks = remarksOn("wagon-amber-turn-blade-7", (plan) => (plan.sockets[0].count = 2));
    expect(of(remarks, "tow-load-high")[0]).toMatchObject({ severity: "problem", limit: 5, where: "pin:LT" });
  });

  it("finds colours of two conventions in one job", () => {
    const remarks = remarksOn("wagon-amber-turn-blade-7", (plan) => {
      delete plan.colourConvention;
      plan.circuits[0].wire.colour = "red";
    });
    expect(of(remarks, "colours-mixed")[0]?.text).toContain("LT by the motorhome industry's colours");
    const wrong = remarksOn("wagon-amber-turn-blade-7", (plan) => (plan.circuits[2].wire.colour = "green"));
    expect(of(wrong, "colour-of-another")[0]).toMatchObject({ severity: "warning", where: "wire:TM" });
    const rv = remarksOn("wagon-amber-turn-blade-7", (plan) => {
      plan.colourConvention = "rv";
      ["red", "brown", "green"].forEach((colour, at) => {
        plan.circuits[at].wire.colour = colour;
      });
    });
    expect(rv.filter((remark) => remark.code.startsWith("colour"))).toEqual([]);
  });

  it("finds combined and separate signals mixed, stop on amber, and stop that hides turn", () => {
    const mixed = remarksOn(install, (plan) => (plan.circuits[0].function = "left-turn"));
    expect(of(mixed, "combined-separate")[0]).toMatchObject({ severity: "warning", where: "pin:LT" });
    expect(of(checkPlan(samplePlan("wagon-amber-turn-blade-7")), "stop-on-amber")).toHaveLength(2);
    const hidden = remarksOn("estate-iso-13", (plan) =>
      plan.circuits[0].feeds.push({ to: "left-rear.bright", isolation: "silicon-6a" }),
    );
    expect(of(hidden, "stop-hides-turn")[0]).toMatchObject({ where: "lamp:left-rear.bright" });
    expect(of(hidden, "double-feed-isolated")[0]).toMatchObject({ severity: "note" });
    expect(
      of(
        remarksOn(install, (plan) => (plan.circuits[2].function = "reverse")),
        "pin-function",
      )[0],
    ).toMatchObject({ where: "pin:TM" });
  });

  it("finds feeds that nothing keeps apart", () => {
    const bare = remarksOn(install, (plan) => (plan.circuits[0].feeds[0].isolation = "none"));
    expect(of(bare, "not-isolated")[0]).toMatchObject({ severity: "problem", where: "lamp:left-rear.bright" });
    const twice = remarksOn(install, (plan) =>
      plan.circuits[1].feeds.push({ to: "left-rear.bright", isolation: "none" }),
    );
    expect(of(twice, "double-feed")[0]).toMatchObject({ severity: "problem" });
  });

  it("finds a ground thinner than what it returns", () => {
    const thin = remarksOn(install, (plan) => (plan.ground.wire.awg = 20));
    expect(of(thin, "ground-thin")[0]).toMatchObject({ severity: "warning", where: "wire:GD" });
    expect(of(checkPlan(samplePlan(install)), "ground-thinner-than-sum")[0]).toMatchObject({
      severity: "note",
      unit: "mm²",
    });
    const thick = remarksOn(install, (plan) => (plan.ground.wire.awg = 10));
    expect(thick.filter((remark) => remark.code.startsWith("ground"))).toEqual([]);
  });

  it("finds circuits without a lamp, lamps without a circuit, missing signals and bulbs for another voltage", () => {
    const remarks = remarksOn(install, (plan) => {
      plan.circuits[0].feeds = [];
      plan.sockets.push({ id: "spare", bulb: "1156" });
    });
    expect(of(remarks, "circuit-without-lamp")[0]).toMatchObject({ severity: "warning", where: "pin:LT" });
    expect(of(remarks, "lamp-without-circuit").map((remark) => remark.where)).toEqual(
      expect.arrayContaining(["socket:spare", "lamp:left-rear.bright"]),
    );
    expect(of(remarks, "signal-missing")[0]?.text).toContain("left turn signal");
    const high = remarksOn(install, (plan) => (plan.nominalVolts = 24));
    expect(of(high, "bulb-voltage")).toHaveLength(2);
  });

  it("never stumbles over a plan that parses: bare, empty, all sense-only", () => {
    expect(() =>
      remarksOn(install, (plan) => {
        for (const circuit of plan.circuits) circuit.feeds = [];
        plan.sockets = [];
      }),
    ).not.toThrow();
    expect(() => remarksOn(install, (plan) => (plan.senseOnly = ["LT", "RT", "TM", "S", "A"]))).not.toThrow();
    expect(() => remarksOn(install, () => undefined, 0)).not.toThrow();
  });

  it("looks at cables too", () => {
    const remarks = remarksOn("umbilical-blade-7-to-round-6", (plan) => {
      plan.conductors[0].far = "RT";
      plan.conductors[1].far = "LT";
      plan.conductors[5].wire.awg = 18;
      plan.conductors[0].wire.colour = "red";
    });
    expect(of(remarks, "functions-differ").filter((remark) => remark.severity === "warning")).toHaveLength(2);
    expect(of(remarks, "ground-thin")[0]).toMatchObject({ where: "wire:GD" });
    expect(of(remarks, "wire-thin").map((remark) => remark.where)).toContain("wire:GD");
    expect(of(remarks, "wire-thin").map((remark) => remark.text)).toContainEqual(
      expect.stringMatching(/ mm² that the (near|far) connector asks for\.$/),
    );
    expect(of(remarks, "colours-mixed")).toHaveLength(1);
    const none = remarksOn("umbilical-blade-7-to-round-6", (plan) => plan.conductors.pop());
    expect(of(none, "no-ground")[0]).toMatchObject({ severity: "problem" });
  });
});

describe("the cut list", () => {
  it("adds up wire by gauge and colour with an allowance, and counts terminals and diodes", () => {
    const list = cutList(samplePlan(install));
    expect(list.wires.map(({ wire, colour, metres }) => [wire, colour, metres])).toEqual([
      ["AWG 16", "yellow", 6.24],
      ["AWG 16", "green", 8.34],
      ["AWG 16", "brown", 8.49],
      ["AWG 16", "white", 0.68],
    ]);
    expect(list.wires[2]?.pieces.map((piece) => piece.where)).toEqual(["wire:TM", "feed:TM/right-rear.dim"]);
    // One towards the connector per feed and one towards the factory's wire per lamp.
    expect(list.diodes).toEqual([{ part: "6 A silicon rectifier (6A05 to 6A10)", count: 8 }]);
    expect(list.terminals).toContainEqual({ part: "terminal for connector round-6, AWG 16", count: 4 });
  });

  it("of a cable has a terminal at each end of each conductor and no diodes", () => {
    const list = cutList(samplePlan("umbilical-blade-7-to-round-6"));
    expect(list.diodes).toEqual([]);
    expect(list.terminals.reduce((sum, one) => sum + one.count, 0)).toBe(12);
  });
});
