import { readFileSync } from "node:fs";
import { parsePlan } from "@pinwalk/host/plan/parse-plan.js";
import type { Plan } from "@pinwalk/host/plan/plan-schema.js";

function samplePlan(name: string): Plan {
  const parsed = parsePlan(
    JSON.parse(readFileSync(new URL(`../../fixtures/plans/${name}.json`, import.meta.url), "utf8")),
  );
  if (!parsed.ok) throw new Error(`the sample plan ${name} does not parse`);
  return parsed.plan;
}

export const hatchback = samplePlan("hatchback-round-6");
export const umbilical = samplePlan("umbilical-blade-7-to-round-6");
