import { solve } from "@pinwalk/host/circuit/solve.js";
import { attachBench, referenceBenchSource } from "@pinwalk/host/plan/attach-bench.js";
import { drivenPins } from "@pinwalk/host/plan/expected.js";
import { type Fault, faultKinds, placesOf } from "@pinwalk/host/plan/fault.js";
import { planNetwork } from "@pinwalk/host/plan/plan-network.js";
import type { Plan } from "@pinwalk/host/plan/plan-schema.js";
import { describe, expect, it } from "vitest";
import { samplePlan, samplePlanNames } from "../plan/sample-plans.js";
import { drivenNetwork } from "./driven-network.js";
import { leaveOutWithoutNgspice, spiceOperatingPoint } from "./ngspice.js";

// The other simulator: ngspice with its own diode model. Same equations, so 0.1 % of a current and 0.1 % of the supply.
const leftOut = leaveOutWithoutNgspice("whole sample plans, healthy and faulty, against SPICE");

function compare(plan: Plan, pin: string, faults: readonly Fault[], celsius: number): void {
  const source = { ...referenceBenchSource, volts: (12.8 * plan.nominalVolts) / 12 };
  const built = planNetwork(plan, { faults, ambientC: celsius });
  const network = drivenNetwork(built, pin, source);
  const ours = solve(network);
  if (ours.kind !== "solved") throw new Error(JSON.stringify(ours));
  const theirs = spiceOperatingPoint(network, celsius);
  const context = `${plan.name}, ${pin} driven, ${faults.map((fault) => `${fault.kind}@${fault.at}`).join()}`;
  for (const [id, amps] of ours.amps) {
    const other = theirs.amps.get(id) ?? Number.NaN;
    expect(Math.abs(amps - other), `${context}: current of ${id}, ${amps} against ${other}`).toBeLessThanOrEqual(
      1e-3 * Math.abs(other) + 1e-6,
    );
  }
  for (const [node, volts] of ours.volts) {
    // A node that only leakage reaches has no voltage worth comparing: SPICE's reverse current follows another curve.
    if (/^(factory|empty):/.test(node)) continue;
    const other = theirs.volts.get(node) ?? Number.NaN;
    expect(Math.abs(volts - other), `${context}: voltage of ${node}, ${volts} against ${other}`).toBeLessThanOrEqual(
      1e-3 * source.volts,
    );
  }
  const bench = attachBench(built, source);
  bench.drive(pin);
  expect(bench.run().kind).toBe("solved");
  expect(bench.sourceAmps()).toBeCloseTo(-(ours.amps.get(`bench:${pin}`) ?? Number.NaN), 7);
}

describe.skipIf(leftOut)("against ngspice, currents agree within 0.1 %", () => {
  for (const name of samplePlanNames) {
    const plan = samplePlan(name);
    const pins = drivenPins(planNetwork(plan));
    it(`${name}, healthy, every pin, at 20 and at −10 °C`, () => {
      for (const pin of pins) compare(plan, pin, [], 20);
      compare(plan, pins[0] ?? "", [], -10);
    });
    for (const kind of faultKinds) {
      const places = placesOf(kind, plan);
      if (places.length === 0) continue;
      it(`${name}, ${kind}`, () => {
        // The first, the middle and the last place; each seen from two pins.
        for (const at of new Set([places[0], places[places.length >> 1], places.at(-1)])) {
          if (at === undefined) continue;
          const fault: Fault = {
            kind,
            at,
            ...(kind === "wrong-lamp" ? { instead: plan.nominalVolts === 24 ? "R10W" : "1141" } : {}),
          };
          const touched = pins.find((pin) => at.includes(`:${pin}`)) ?? pins.at(-1) ?? "";
          for (const pin of new Set([touched, pins[0] ?? ""])) compare(plan, pin, [fault], 20);
        }
      });
    }
  }
});
