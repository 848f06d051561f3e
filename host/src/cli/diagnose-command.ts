import { Command } from "commander";
import { diagnose } from "../diagnosis/diagnose.js";
import { exitCodes, worstVerdict } from "./exit-code.js";
import { findingsText } from "./findings-text.js";
import { partsOption, readPartsFile } from "./parts-file.js";
import { readPlanFile } from "./plan-file.js";
import { readReadingsFile } from "./readings-file.js";
import type { Terminal } from "./terminal.js";

interface Options {
  readonly json?: boolean;
  readonly parts?: string;
}

/** `pinwalk diagnose`: what readings that were taken earlier mean. All files are checked before the first is judged. */
export function diagnoseCommand(terminal: Terminal): Command {
  return new Command("diagnose")
    .description("Judge readings against a plan. The exit code is the worst verdict: fail before unsure before pass.")
    .argument("<plan>", "plan file (JSON)")
    .argument("<readings...>", "one readings file or more (JSON)")
    .addOption(partsOption())
    .option("--json", "print one findings document per readings file, one line each")
    .addHelpText("after", "\nExample:\n  pinwalk diagnose plan.json monday.json tuesday.json --json")
    .action(async (planPath: string, readingsPaths: string[], { json, parts }: Options) => {
      const library = await readPartsFile(parts);
      const plan = await readPlanFile(planPath, library);
      const all = [];
      for (const path of readingsPaths) all.push({ path, readings: await readReadingsFile(path, plan) });
      const verdicts = all.map(({ path, readings }, index) => {
        const findings = diagnose(plan, readings, { library });
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
