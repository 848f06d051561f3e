import { readdirSync, readFileSync } from "node:fs";
import { parsePlan } from "@pinwalk/host/plan/parse-plan.js";
import type { Plan } from "@pinwalk/host/plan/plan-schema.js";

const folder = new URL("../../fixtures/plans/", import.meta.url);

/** A JSON document beside the repository's sample plans, not yet parsed. */
export function planJson(name: string): unknown {
  return JSON.parse(readFileSync(new URL(`${name}.json`, folder), "utf8"));
}

/** A sample plan by file name. */
export function samplePlan(name: string): Plan {
  const parsed = parsePlan(planJson(name));
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
  return parsed.plan;
}

export const samplePlanNames: readonly string[] = readdirSync(folder)
  .filter((name) => name.endsWith(".json"))
  .map((name) => name.slice(0, -5))
  .sort();
