import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import type { Fault } from "@pinwalk/host/plan/fault.js";
import { parsePlan } from "@pinwalk/host/plan/parse-plan.js";
import type { Plan } from "@pinwalk/host/plan/plan-schema.js";
import { type Readings, readingsSchema } from "@pinwalk/host/readings/readings.js";

/** A plan, readings that an outside program computed for it, and the faults that were put in. */
export interface MadeCase {
  readonly name: string;
  readonly plan: Plan;
  readonly readings: Readings;
  readonly truth: readonly Fault[];
}

/** The made cases of fixtures/cases, parsed as a person's files would be. */
export function loadCases(folder = join(import.meta.dirname, "../../fixtures/cases")): MadeCase[] {
  const files = readdirSync(folder).filter((file) => file.endsWith(".json"));
  return files.sort().map((file) => parseCase(file, JSON.parse(readFileSync(join(folder, file), "utf8"))));
}

/** Parses one case; throws when plan or readings are not what the formats page says. */
export function parseCase(name: string, json: { plan: unknown; readings: unknown; truth: Fault[] }): MadeCase {
  const plan = parsePlan(json.plan);
  if (!plan.ok) throw new Error(`${name}: ${JSON.stringify(plan.problems)}`);
  return { name, plan: plan.plan, readings: readingsSchema.parse(json.readings), truth: json.truth };
}
