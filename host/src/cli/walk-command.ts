import { Command } from "commander";
import { type Walk, walk } from "../procedures/walk.js";
import type { WalkOutcome } from "../procedures/walk-events.js";
import type { Readings } from "../readings/readings.js";
import { type BenchOptions, chooseBench } from "./bench-choice.js";
import { couldNotTest } from "./command-failure.js";
import { confirmCheckList } from "./confirm-check-list.js";
import { type ExitCode, exitCodes } from "./exit-code.js";
import { collect } from "./fault-option.js";
import { findingsText } from "./findings-text.js";
import { requireWritable, writeJsonFile } from "./json-file.js";
import { wholeNumberOption } from "./number-option.js";
import { partsOption, readPartsFile } from "./parts-file.js";
import { readPlanFile } from "./plan-file.js";
import { ProgressLine } from "./progress-line.js";
import { onStopRequest } from "./stop-request.js";
import type { Terminal } from "./terminal.js";
import { WalkProgress } from "./walk-progress.js";

interface Options extends BenchOptions {
  readonly checked?: boolean;
  readonly readings?: string;
  readonly progress?: boolean;
  readonly json?: boolean;
  readonly parts?: string;
}

const help = `
Examples:
  pinwalk walk plan.json --bench virtual --fast
  pinwalk walk plan.json --bench virtual --fault open@lamp:left-rear.bright --fault high-resistance@wire:TM=0.8
  pinwalk walk plan.json --bench /dev/ttyUSB0 --checked --readings today.json

A real bench puts 12 V at up to 10 A on one pin after another. Before that a short check list is shown and has to be
confirmed, by --checked or by typing yes. Ctrl-C turns everything off and ends with exit code 3 (could not test).
The readings file is written only when the walk was complete.`;

/** `pinwalk walk`: measure every pin of a plan on a bench, and judge. */
export function walkCommand(terminal: Terminal): Command {
  return new Command("walk")
    .description("Walk a plan on a bench: rest, low current, drive each pin, verdict.")
    .argument("<plan>", "plan file (JSON)")
    .option(
      "--bench <PATH>",
      "serial port of the bench, or `virtual` for the emulated one (default: the only bench found)",
    )
    .option(
      "--fault <KIND@PLACE[=OHMS]>",
      "put a fault into the emulated vehicle or cable (again for more)",
      collect,
      [],
    )
    .option("--fast", "emulated bench: as fast as the machine can, not in real time")
    .option("--seed <N>", "emulated bench: seed of its noise", wholeNumberOption("seed", 0, 2 ** 31 - 1))
    .option("--checked", "real bench: the check list has been gone through")
    .option("--readings <FILE>", "keep the readings in FILE, whole or not at all")
    .option("--progress", "report each step on stderr, also where that is no terminal")
    .addOption(partsOption())
    .option("--json", "print the findings document")
    .addHelpText("after", help)
    .action(async (planPath: string, options: Options) => {
      const library = await readPartsFile(options.parts);
      const plan = await readPlanFile(planPath, library);
      if (options.readings !== undefined) await requireWritable(options.readings, "readings file");
      const bench = await chooseBench(plan, options, library);
      if (bench.real) await confirmCheckList(plan, options.checked === true, terminal);
      const outcome = await runWalk(walk({ plan, library, port: bench.open }), options.progress === true, terminal);
      terminal.exitWith(await report(outcome, options, terminal));
    });
}

/** Listens to a walk to its end. Whatever asks the program to stop in the meantime turns everything off first. */
async function runWalk(running: Walk, wantsProgress: boolean, terminal: Terminal): Promise<WalkOutcome> {
  const mode = terminal.watched ? "terminal" : wantsProgress ? "log" : "none";
  const progress = new WalkProgress(new ProgressLine(mode), terminal);
  const release = onStopRequest((reason) => {
    if (reason.kind === "crash") terminal.err(`Pinwalk stumbled over itself: ${String(reason.error)}`);
    running.cancel();
  });
  try {
    for await (const event of running) progress.hear(event);
    return await running.outcome;
  } finally {
    release();
  }
}

async function report(outcome: WalkOutcome, { readings, json }: Options, terminal: Terminal): Promise<ExitCode> {
  switch (outcome.kind) {
    case "judged":
      terminal.out(json ? JSON.stringify(outcome.findings, null, 2) : findingsText(outcome.findings, terminal));
      if (readings !== undefined) await keepReadings(readings, outcome.readings);
      return exitCodes[outcome.findings.overall];
    case "cancelled":
      terminal.err(
        `Stopped before the end: nothing is said about the vehicle. ${outputWords[outcome.outputs ?? "unreached"]}`,
      );
      return exitCodes.couldNotTest;
    case "could-not-test":
      terminal.err(`Could not test (${outcome.code}): ${outcome.message}`);
      terminal.err(outputWords[outcome.outputs ?? "unreached"]);
      return exitCodes.couldNotTest;
  }
}

async function keepReadings(path: string, readings: Readings): Promise<void> {
  try {
    await writeJsonFile(path, readings);
  } catch (error) {
    throw couldNotTest(`${path}: the readings could not be kept: ${error instanceof Error ? error.message : error}`);
  }
}

const outputWords = {
  "confirmed-off": "Every output is off: the bench has said so.",
  silence:
    "The bench did not answer any more; it turns everything off by itself within a second. Press its stop button to be sure.",
  unreached: "No bench was reached, and nothing was driven.",
} as const;
