import type { z } from "zod";
import { readingsFitPlan } from "../diagnosis/readings-fit-plan.js";
import { pathText } from "../plan/parse-plan.js";
import type { Plan } from "../plan/plan-schema.js";
import { type Readings, readingsSchema } from "../readings/readings.js";
import { wrongUse } from "./command-failure.js";
import { readJsonFile } from "./json-file.js";
import { type DocumentProblem, problemList } from "./problem-list.js";

function problemsOf(issue: z.core.$ZodIssue): readonly DocumentProblem[] {
  if (issue.code === "unrecognized_keys") {
    return issue.keys.map((key) => ({ path: pathText([...issue.path, key]), message: `unknown key "${key}"` }));
  }
  return [{ path: pathText(issue.path), message: issue.message }];
}

/** Reads and checks readings, and that they are of this plan. Throws a wrong-use failure that says what does not hold. */
export async function readReadingsFile(path: string, plan: Plan): Promise<Readings> {
  const parsed = readingsSchema.safeParse(await readJsonFile(path, "readings file"));
  if (!parsed.success) {
    throw wrongUse(problemList(path, "readings file", parsed.error.issues.flatMap(problemsOf)));
  }
  const fit = readingsFitPlan(plan, parsed.data);
  if (!fit.ok)
    throw wrongUse(
      [`${path}: these are not readings of this plan.`, ...fit.problems.map(({ message }) => `  ${message}`)].join(
        "\n",
      ),
    );
  return parsed.data;
}
