import { checkPlan } from "@pinwalk/host/plan/check/check-plan.js";
import { expectedLoads } from "@pinwalk/host/plan/expected.js";
import { parsePlan } from "@pinwalk/host/plan/parse-plan.js";
import type { PlanTemplate } from "@pinwalk/host/plan/templates/plan-template.js";
import { planTemplates } from "@pinwalk/host/plan/templates/templates.js";
import { expect, test } from "vitest";

/** A template on each of its connectors; a cable once from and once to each. */
function everyPlan({ connectors, farConnectors, make }: PlanTemplate) {
  const [usualFar] = farConnectors;
  const [usualNear = ""] = connectors;
  return [
    ...connectors.map((near) => ({ on: near, plan: make(near, usualFar) })),
    ...farConnectors.map((far) => ({ on: `${usualNear} to ${far}`, plan: make(usualNear, far) })),
  ];
}

test.each(planTemplates.map((template) => [template.title, template] as const))(
  "%s: on every connector a plan that is in order, draws current and has no problem in its check",
  (_title, template) => {
    for (const { on, plan } of everyPlan(template)) {
      const parsed = parsePlan(JSON.parse(JSON.stringify(plan)));
      expect([on, parsed.ok ? [] : parsed.problems]).toEqual([on, []]);
      const loads = expectedLoads(plan);
      expect([on, loads.length > 0, loads.filter(({ amps }) => !(amps > 0.02))]).toEqual([on, true, []]);
      expect([on, checkPlan(plan).filter(({ severity }) => severity === "problem")]).toEqual([on, []]);
    }
  },
);

test("amber lamps are lit by turn circuits alone, never by one that carries the stop signal", () => {
  const amber = planTemplates.find(({ id }) => id === "amber-turn");
  const codes = amber && everyPlan(amber).flatMap(({ plan }) => checkPlan(plan).map(({ code }) => code));
  expect(codes?.length).toBeGreaterThan(0);
  expect(codes).not.toContain("stop-on-amber");
});

test("a vehicle of two tail pins gets each side's lamps on its own pin", () => {
  const plan = planTemplates.find(({ id }) => id === "amber-turn")?.make("iso-11446");
  const tails = plan?.kind === "install" ? plan.circuits.filter((circuit) => circuit.function === "tail") : [];
  expect(tails.map(({ pin, feeds }) => [pin, ...feeds.map(({ to }) => to)])).toEqual([
    ["5", "right-rear.dim"],
    ["7", "left-rear.dim"],
  ]);
});
