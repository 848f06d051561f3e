import { attachBench } from "@pinwalk/host/plan/attach-bench.js";
import { checkPlan } from "@pinwalk/host/plan/check/check-plan.js";
import { cutList } from "@pinwalk/host/plan/cut-list.js";
import { expectedLoads } from "@pinwalk/host/plan/expected.js";
import { faultPlaces } from "@pinwalk/host/plan/fault.js";
import { parsePlan } from "@pinwalk/host/plan/parse-plan.js";
import { planNetwork } from "@pinwalk/host/plan/plan-network.js";
import type { Plan } from "@pinwalk/host/plan/plan-schema.js";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { randomPlans } from "./random-plan.js";

function parsed(json: unknown): Plan {
  const result = parsePlan(json);
  if (!result.ok) throw new Error(JSON.stringify(result.problems));
  return result.plan;
}

describe("a plan that nobody drew", () => {
  it("has an expected load with a band around it for every circuit, remarks that are sentences, and a cut list", () => {
    fc.assert(
      fc.property(randomPlans, (json) => {
        const plan = parsed(json);
        for (const pin of expectedLoads(plan)) {
          expect(pin.amps).toBeGreaterThanOrEqual(-1e-6);
          expect(pin.low).toBeLessThanOrEqual(pin.amps);
          expect(pin.high).toBeGreaterThan(pin.amps);
          for (const volts of [pin.volts, ...Object.values(pin.lampVolts)]) expect(volts).toBeLessThan(26);
        }
        for (const remark of checkPlan(plan)) expect(remark.text).not.toMatch(/NaN|undefined|Infinity/);
        expect(cutList(plan).terminals.length).toBeGreaterThan(0);
      }),
      { numRuns: 60, seed: 31 },
    );
  });

  it("can be solved with any fault in it, driven, fed by the low-current source, or fed back", () => {
    fc.assert(
      fc.property(randomPlans, fc.nat(), fc.nat(), (json, which, where) => {
        const plan = parsed(json);
        const faults = faultPlaces(plan);
        const fault = faults[which % faults.length];
        if (fault === undefined) return;
        const bench = attachBench(planNetwork(plan, { faults: [fault] }));
        const pin = bench.built.pins[where % bench.built.pins.length] ?? "";
        bench.drive(pin);
        expect(bench.run().kind, fault.at).toBe("solved");
        bench.low(pin);
        expect(bench.run({ warm: true }).kind, fault.at).toBe("solved");
        bench.rest();
        bench.vehicle(["tail", "stop", "left-stop-turn"]);
        expect(bench.run().kind, fault.at).toBe("solved");
      }),
      { numRuns: 300, seed: 32 },
    );
  });
});
