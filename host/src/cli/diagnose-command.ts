import { Command } from "commander";
import { type DiagnoseOptions, diagnose } from "../diagnosis/diagnose.js";
import type { Findings } from "../diagnosis/findings.js";
import type { Plan } from "../plan/plan-schema.js";
import type { Readings } from "../readings/readings.js";
import { readAnswersFile } from "./answers-file.js";
import { wrongUse } from "./command-failure.js";
import { exitCodes, worstVerdict } from "./exit-code.js";
import { findingsText } from "./findings-text.js";
import { partsOption, readPartsFile } from "./parts-file.js";
import { readPlanFile } from "./plan-file.js";
import { readReadingsFile } from "./readings-file.js";
import type { Terminal } from "./terminal.js";

interface Options {
  readonly json?: boolean;
  readonly parts?: string;
  readonly answers?: string;
}

const help = `
Examples:
  pinwalk diagnose plan.json monday.json tuesday.json --json
  pinwalk diagnose plan.json monday.json --answers looked.json

What to check next comes with its possible answers (nextChecks in --json). Write what came of it into a file, as
[{"check": {"look": "left-rear.bright", "while": "LT"}, "answer": "lit"}], and ask again: the ranking changes.`;

/** `pinwalk diagnose`: what readings that were taken earlier mean. All files are checked before the first is judged. */
export function diagnoseCommand(terminal: Terminal): Command {
  return new Command("diagnose")
    .description("Judge readings against a plan. The exit code is the worst verdict: fail before unsure before pass.")
    .argument("<plan>", "plan file (JSON)")
    .argument("<readings...>", "one readings file or more (JSON)")
    .addOption(partsOption())
    .option("--json", "print one findings document per readings file, one line each")
    .option("--answers <FILE>", "what came of next checks (JSON); for one readings file")
    .addHelpText("after", help)
    .action(async (planPath: string, readingsPaths: string[], { json, parts, answers: answersPath }: Options) => {
      if (answersPath !== undefined && readingsPaths.length > 1)
        throw wrongUse("--answers belongs to one readings file; give one.");
      const answers = await readAnswersFile(answersPath);
      const library = await readPartsFile(parts);
      const plan = await readPlanFile(planPath, library);
      const all = [];
      for (const path of readingsPaths) all.push({ path, readings: await readReadingsFile(path, plan) });
      const verdicts = all.map(({ path, readings }, index) => {
        const findings = judge(plan, readings, { library, answers });
        if (json) {
          terminal.out(JSON.stringify(findings));
        } else {
          if (readingsPaths.length > 1) terminal.out(`${index > 0 ? "\n" : ""}${terminal.paint("bold", path)}`);
          terminal.out(findingsText(findings, terminal));
        }
        return findings.overall;
      });
      terminal.exitWith(exitCodes[worstVerdict(verdicts)]);
    });
}

/** Judges, and says of an answer that its check does not have that the answers file is to be mended. */
function judge(plan: Plan, readings: Readings, options: DiagnoseOptions): Findings {
  try {
    return diagnose(plan, readings, options);
  } catch (error) {
    if (error instanceof RangeError && (options.answers ?? []).length > 0)
      throw wrongUse(`--answers: ${error.message}.`);
    throw error;
  }
}
