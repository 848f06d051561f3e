import { diagnose } from "@pinwalk/host/diagnosis/diagnose.js";
import type { Findings } from "@pinwalk/host/diagnosis/findings.js";
import type { Fault } from "@pinwalk/host/plan/fault.js";
import type { InstallPlan } from "@pinwalk/host/plan/plan-schema.js";
import type { Readings } from "@pinwalk/host/readings/readings.js";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { loadCases } from "./load-cases.js";
import { simulateReadings } from "./simulate-readings.js";

const made = loadCases().find(({ name }) => name === "install-017.json");
if (made === undefined) throw new Error("the case is gone");
const plan = made.plan as InstallPlan;

const named = (faults: readonly { readonly kind: string; readonly at: string }[]): string =>
  faults
    .map(({ kind, at }) => `${kind}@${at}`)
    .toSorted()
    .join(" & ");

const summary = ({ overall, circuits, groups, explanations }: Findings) => ({
  overall,
  verdicts: Object.fromEntries(circuits.map(({ pin, verdict }) => [pin, verdict])),
  first: groups[0]?.probability.toFixed(3),
  members: explanations
    .filter(({ group, probability }) => group === 1 && probability > 0.01)
    .map(({ faults }) => named(faults))
    .toSorted(),
});

/** A list in an order that the keys give. */
const inOrder = <T>(list: readonly T[] | undefined, keys: readonly number[]): T[] =>
  (list ?? [])
    .map((entry, at) => ({ entry, key: keys[at % keys.length] ?? 0 }))
    .toSorted((a, b) => a.key - b.key)
    .map(({ entry }) => entry);

const tableInOrder = (volts: Readonly<Record<string, number>> = {}, keys: readonly number[]) =>
  Object.fromEntries(inOrder(Object.entries(volts), keys));

describe("findings", () => {
  it("are the same in whatever order circuits, sockets, sections and pins stand", () => {
    const expected = summary(diagnose(plan, made.readings));
    const keys = fc.array(fc.integer({ min: 0, max: 99 }), { minLength: 5, maxLength: 9 });
    fc.assert(
      fc.property(keys, (order) => {
        const { readings } = made;
        const turned: Readings = {
          ...readings,
          rest: tableInOrder(readings.rest, order),
          drives: inOrder(readings.drives, order).map((one) => ({ ...one, volts: tableInOrder(one.volts, order) })),
          lowCurrent: inOrder(readings.lowCurrent, order),
          backFeed: inOrder(readings.backFeed, order),
        };
        const other = { ...plan, circuits: inOrder(plan.circuits, order), sockets: inOrder(plan.sockets, order) };
        expect(summary(diagnose(other, turned))).toEqual(expected);
      }),
      { numRuns: 4, seed: 20261125 },
    );
  });

  it("name the truth no later, on average, when the bench reads better", () => {
    const truths: Fault[][] = [
      [],
      [{ kind: "high-resistance", at: "pin:LT", ohms: 0.5 }],
      [{ kind: "high-resistance", at: "feed:TM/left-rear.dim", ohms: 2 }],
      [{ kind: "wrong-lamp", at: "lamp:right-rear.dim", instead: "194" }],
      [{ kind: "swap", at: "pin:LT+pin:RT" }],
    ];
    const meanPlace = (worse: number): number => {
      const places = truths.map((faults) => {
        const readings = structuredClone(simulateReadings(plan, faults));
        const { amps, volts } = readings.tester.uncertainty;
        for (const doubt of [amps, volts]) {
          doubt.relative *= worse;
          doubt.offset *= worse;
        }
        const { explanations } = diagnose(plan, readings, { mostFaults: 1 });
        const place = explanations.findIndex((one) => named(one.faults) === named(faults));
        return place < 0 ? explanations.length : (explanations[place]?.group ?? 0);
      });
      return places.reduce((sum, place) => sum + place, 0) / places.length;
    };
    const [poor, usual, good] = [4, 1, 0.25].map(meanPlace);
    expect(usual).toBeLessThanOrEqual(poor ?? 0);
    expect(good).toBeLessThanOrEqual(usual ?? 0);
  });
});
