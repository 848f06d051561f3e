import { type CheckAnswer, checkAnswersSchema } from "../diagnosis/next-checks/check-answer.js";
import { pathText } from "../plan/parse-plan.js";
import { wrongUse } from "./command-failure.js";
import { readJsonFile } from "./json-file.js";
import { problemList } from "./problem-list.js";

/**
 * Reads what came of next checks: a list of `{check, answer}`, with a `check` and one of its outcomes' `answer` as a findings
 * document has them. Throws a wrong-use failure that lists every place that has to be mended.
 */
export async function readAnswersFile(path: string | undefined): Promise<readonly CheckAnswer[]> {
  if (path === undefined) return [];
  const parsed = checkAnswersSchema.safeParse(await readJsonFile(path, "answers file"));
  if (parsed.success) return parsed.data;
  const problems = parsed.error.issues.map((issue) => ({ path: pathText(issue.path), message: issue.message }));
  throw wrongUse(problemList(path, "answers file", problems));
}
