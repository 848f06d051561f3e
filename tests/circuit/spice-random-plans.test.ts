import { solve } from "@pinwalk/host/circuit/solve.js";
import { referenceBenchSource } from "@pinwalk/host/plan/attach-bench.js";
import { drivenPins } from "@pinwalk/host/plan/expected.js";
import { parsePlan } from "@pinwalk/host/plan/parse-plan.js";
import { planNetwork } from "@pinwalk/host/plan/plan-network.js";
import fc from "fast-check";
import { expect, it } from "vitest";
import { randomPlans } from "../plan/random-plan.js";
import { drivenNetwork } from "./driven-network.js";
import { leaveOutWithoutNgspice, spiceOperatingPoint } from "./ngspice.js";

const leftOut = leaveOutWithoutNgspice("plans that nobody drew against SPICE");

it.skipIf(leftOut)("plans that nobody drew draw the same current in ngspice, within 0.1 %", () => {
  fc.assert(
    fc.property(randomPlans, fc.nat(), (json, which) => {
      const parsed = parsePlan(json);
      if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
      const { plan } = parsed;
      const built = planNetwork(plan);
      const pins = drivenPins(built);
      const pin = pins[which % pins.length] ?? "";
      const source = { ...referenceBenchSource, volts: (12.8 * plan.nominalVolts) / 12 };
      const network = drivenNetwork(built, pin, source);
      const ours = solve(network);
      if (ours.kind !== "solved") throw new Error(JSON.stringify(ours));
      const theirs = spiceOperatingPoint(network);
      for (const [id, amps] of ours.amps) {
        const other = theirs.amps.get(id) ?? Number.NaN;
        expect(Math.abs(amps - other), `current of ${id}: ${amps} against ${other}`).toBeLessThanOrEqual(
          1e-3 * Math.abs(other) + 1e-6,
        );
      }
    }),
    { numRuns: 60, seed: 33 },
  );
});
