import { diagnose } from "@pinwalk/host/diagnosis/diagnose.js";
import type { Findings } from "@pinwalk/host/diagnosis/findings.js";
import { parsePlan } from "@pinwalk/host/plan/parse-plan.js";
import type { InstallPlan } from "@pinwalk/host/plan/plan-schema.js";
import type { Readings } from "@pinwalk/host/readings/readings.js";
import { describe, expect, it } from "vitest";
import { loadCases } from "./load-cases.js";
import { simulateReadings } from "./simulate-readings.js";

const cases = loadCases();

const named = (faults: readonly { readonly kind: string; readonly at: string }[]): string =>
  faults
    .map(({ kind, at }) => `${kind}@${at}`)
    .toSorted()
    .join(" & ");

function groupOf(findings: Findings, faults: readonly { readonly kind: string; readonly at: string }[]) {
  return findings.explanations.find((explanation) => named(explanation.faults) === named(faults))?.group;
}

describe("explanations of the made cases", () => {
  const single = cases.filter(({ truth }) => truth.length <= 1);

  it.each(single)("$name: the truth is in the first group", ({ plan, readings, truth }) => {
    const findings = diagnose(plan, readings);
    expect(groupOf(findings, truth)).toBe(1);
  });

  it.each(single.slice(0, 6))("$name: probabilities are in order and add up to one at most", ({ plan, readings }) => {
    const { explanations, groups } = diagnose(plan, readings);
    const chances = groups.map(({ probability }) => probability);
    expect(chances).toEqual(chances.toSorted((a, b) => b - a));
    for (const list of [explanations, groups]) {
      expect(list.reduce((sum, { probability }) => sum + probability, 0)).toBeLessThan(1 + 1e-4);
    }
  });

  it("of two visible faults at once are both named in one of the first three groups", () => {
    const double = cases.find(({ name }) => name === "cable-006.json");
    if (double === undefined) throw new Error("the case is gone");
    expect(groupOf(diagnose(double.plan, double.readings), double.truth)).toBeLessThanOrEqual(3);
  });
});

describe("explanations", () => {
  it("do not depend on the order of circuits, sections and pins", () => {
    const case017 = cases.find(({ name }) => name === "install-017.json");
    if (case017 === undefined) throw new Error("the case is gone");
    const { readings } = case017;
    const plan = case017.plan as InstallPlan;
    const turned = <T>(list: readonly T[] | undefined): T[] => [...(list ?? [])].reverse();
    const turnedPins = (volts: Readonly<Record<string, number>>): Record<string, number> =>
      Object.fromEntries(Object.entries(volts).reverse());
    const otherReadings: Readings = {
      ...readings,
      rest: turnedPins(readings.rest ?? {}),
      drives: turned(readings.drives).map((drive) => ({ ...drive, volts: turnedPins(drive.volts) })),
      lowCurrent: turned(readings.lowCurrent),
      backFeed: turned(readings.backFeed),
    };
    const otherPlan = { ...plan, circuits: turned(plan.circuits), sockets: turned(plan.sockets) };
    const summary = (findings: Findings) => ({
      overall: findings.overall,
      verdicts: Object.fromEntries(findings.circuits.map(({ pin, verdict }) => [pin, verdict])),
      first: findings.groups[0]?.probability.toFixed(3),
      members: findings.explanations
        .filter(({ group, probability }) => group === 1 && probability > 0.01)
        .map(({ faults }) => named(faults))
        .toSorted(),
    });
    expect(summary(diagnose(otherPlan, otherReadings))).toEqual(summary(diagnose(plan, readings)));
  });

  it("change with the answer to a check, and the truth gains by it", () => {
    const case017 = cases.find(({ name }) => name === "install-017.json");
    if (case017 === undefined) throw new Error("the case is gone");
    const { plan, readings, truth } = case017;
    const before = diagnose(plan, readings);
    const chance = (findings: Findings): number =>
      findings.explanations.find(({ faults }) => named(faults) === named(truth))?.probability ?? 0;
    const next = before.nextChecks[0];
    if (next === undefined) throw new Error("nothing is asked");
    const after = (next.outcomes ?? []).map(({ answer }) =>
      chance(diagnose(plan, readings, { answers: [{ check: next.check, answer }] })),
    );
    expect(Math.max(...after)).toBeGreaterThan(chance(before));
    expect(Math.min(...after)).toBeLessThan(chance(before));
  });

  it("find nothing wrong with a healthy vehicle that has a charge line behind a Schottky diode", () => {
    const { plan } = cases.find(({ name }) => name === "install-000.json") ?? { plan: undefined };
    const parsed = parsePlan({
      ...(plan as InstallPlan),
      circuits: [
        ...(plan as InstallPlan).circuits,
        {
          pin: "A",
          function: "charge",
          wire: { awg: 12, metres: 5, colour: "black" },
          feeds: [{ to: "house.bright", isolation: "schottky-10a" }],
        },
      ],
      sockets: [
        ...(plan as InstallPlan).sockets,
        { id: "house", place: "house battery", lamps: { bright: { kind: "battery", volts: 12.6, ohms: 0.05 } } },
      ],
    });
    if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
    const findings = diagnose(parsed.plan, simulateReadings(parsed.plan, []));
    expect(findings.explanations[0]?.faults).toEqual([]);
    expect(findings.overall).not.toBe("fail");
  });
});
