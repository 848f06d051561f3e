import { readFileSync } from "node:fs";
import { join } from "node:path";
import { diagnose } from "@pinwalk/host/diagnosis/diagnose.js";
import type { Findings } from "@pinwalk/host/diagnosis/findings.js";
import type { Fault } from "@pinwalk/host/plan/fault.js";
import { describe, expect, it } from "vitest";
import { loadCases } from "./load-cases.js";
import { simulateReadings } from "./simulate-readings.js";

const pairs = loadCases(join(import.meta.dirname, "../../fixtures/cases/pairs"));
const vehicle = loadCases().find(({ name }) => name === "install-017.json");
if (vehicle === undefined) throw new Error("the case is gone");

const named = (faults: readonly { readonly kind: string; readonly at: string }[]): string =>
  faults
    .map(({ kind, at }) => `${kind}@${at}`)
    .toSorted()
    .join(" & ");

const groupOf = (findings: Findings, faults: readonly Fault[]): number | undefined =>
  findings.explanations.find((explanation) => named(explanation.faults) === named(faults))?.group;

describe("two faults at once, in cases that ngspice made", () => {
  // A fault that its mirror image hides, one that only another one wakes, one behind another.
  it.each(pairs)("$name: the truth is in one of the first three groups", ({ plan, readings, truth }) => {
    expect(groupOf(diagnose(plan, readings), truth)).toBeLessThanOrEqual(3);
  });

  it("are left out where only single faults are asked for", () => {
    for (const { plan, readings } of pairs.slice(0, 2)) {
      const { explanations } = diagnose(plan, readings, { mostFaults: 1 });
      expect(Math.max(...explanations.map(({ faults }) => faults.length))).toBeLessThan(2);
    }
  });
});

describe("a filament bulb of any size in the place of an LED lamp", () => {
  const led = JSON.parse(
    readFileSync(join(import.meta.dirname, "../../fixtures/plans/hatchback-led-flat-4.json"), "utf8"),
  );

  // Bulbs of several sizes go by one name: a network that was built for one must not answer for another.
  it("is found beside a resistance in the ground", () => {
    const faults: Fault[] = [
      { kind: "wrong-lamp", at: "lamp:left-rear.bright", instead: "1156.bright" },
      { kind: "high-resistance", at: "ground-bond", ohms: 1.2 },
    ];
    const { explanations, notJudged } = diagnose(led, simulateReadings(led, faults));
    expect(notJudged.map(({ what }) => what)).not.toContain("explanations");
    expect(explanations[0]?.faults.map(({ kind }) => kind).toSorted()).toEqual(["high-resistance", "wrong-lamp"]);
  });
});

describe("three faults at once", () => {
  const triple: Fault[] = [
    { kind: "short-to-ground", at: "wire:TM" },
    { kind: "short-to-power", at: "pin:LT" },
    { kind: "open", at: "lamp:right-rear.bright" },
  ];
  const findings = diagnose(vehicle.plan, simulateReadings(vehicle.plan, triple));

  it("are called more than two things, to be mended first", () => {
    expect(findings.overall).toBe("fail");
    const why = findings.notJudged.find(({ what }) => what === "explanations")?.why;
    expect(why).toMatch(/more than two things are wrong here.*Mend/);
  });

  it("leave no group with more than half of the belief", () => {
    for (const { probability } of findings.groups) expect(probability).toBeLessThanOrEqual(0.5);
  });
});
