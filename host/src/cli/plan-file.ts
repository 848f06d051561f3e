import { parsePlan } from "../plan/parse-plan.js";
import type { PartsLibrary } from "../plan/parts/parts-library.js";
import type { Plan } from "../plan/plan-schema.js";
import { wrongUse } from "./command-failure.js";
import { readJsonFile } from "./json-file.js";
import { problemList } from "./problem-list.js";

/** Reads and checks a plan. Throws a wrong-use failure that lists every place in the document that has to be mended. */
export async function readPlanFile(path: string, library?: PartsLibrary): Promise<Plan> {
  const parsed = parsePlan(await readJsonFile(path, "plan"), library);
  if (parsed.ok) return parsed.plan;
  throw wrongUse(problemList(path, "plan", parsed.problems));
}
