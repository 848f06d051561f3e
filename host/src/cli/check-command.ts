import { Command } from "commander";
import { checkPlan } from "../plan/check/check-plan.js";
import type { Remark, Severity } from "../plan/check/remark.js";
import { type CutList, cutList } from "../plan/cut-list.js";
import { exitCodes } from "./exit-code.js";
import { partsOption, readPartsFile } from "./parts-file.js";
import { readPlanFile } from "./plan-file.js";
import type { Terminal } from "./terminal.js";

const colours = { problem: "red", warning: "yellow", note: "dim" } as const;

/** What a plan's worst remark means to the shell. */
function exitCodeFor(remarks: readonly Remark[]) {
  const has = (severity: Severity): boolean => remarks.some((remark) => remark.severity === severity);
  if (has("problem")) return exitCodes.fail;
  return has("warning") ? exitCodes.unsure : exitCodes.pass;
}

/** `pinwalk check`: what is to be said about a plan before anything is cut. */
export function checkCommand(terminal: Terminal): Command {
  return new Command("check")
    .description(
      "Check a plan before anything is cut. Ends with 1 for a problem, 2 for a warning, 0 for notes at most.",
    )
    .argument("<plan>", "plan file (JSON)")
    .addOption(partsOption())
    .option("--json", "print one document: remarks with severity, number, limit and source, and the cut list")
    .addHelpText("after", "\nExample:\n  pinwalk check fixtures/plans/hatchback-round-6.json")
    .action(async (path: string, { json, parts }: { json?: boolean; parts?: string }) => {
      const library = await readPartsFile(parts);
      const plan = await readPlanFile(path, library);
      const remarks = checkPlan(plan, { library });
      const document = {
        format: "pinwalk-check/1",
        plan: plan.name,
        remarks,
        cutList: cutList(plan, undefined, library),
      };
      const text = (): string => `${remarksText(remarks, terminal)}\n\n${cutListText(document.cutList)}`;
      terminal.out(json ? JSON.stringify(document, null, 2) : text());
      terminal.exitWith(exitCodeFor(remarks));
    });
}

function remarksText(remarks: readonly Remark[], { paint }: Terminal): string {
  if (remarks.length === 0) return "Nothing to remark.";
  return remarks
    .map(({ severity, where, text, source }) => {
      const word = paint(colours[severity], severity.toUpperCase().padEnd("PROBLEM".length));
      return `${word}  ${where}: ${text}\n         (${source})`;
    })
    .join("\n");
}

function cutListText({ wires, terminals, diodes, allowance }: CutList): string {
  const spare = `${allowance.metres} m and ${Math.round(allowance.share * 100)} % spare on each piece`;
  return [
    `Cut list (${spare})`,
    ...wires.map(({ wire, colour, metres, pieces }) => {
      const cuts = pieces.map((piece) => `${piece.where} ${piece.metres.toFixed(2)} m`).join(", ");
      return `  ${metres.toFixed(2).padStart(6)} m  ${wire}, ${colour}: ${cuts}`;
    }),
    ...[...terminals, ...diodes].map(({ part, count }) => `  ${String(count).padStart(6)} x  ${part}`),
  ].join("\n");
}
