import { Command } from "commander";
import type { CablePlan } from "../plan/plan-schema.js";
import type { Followed } from "../procedures/flex-watch/conductor-strip.js";
import { usualFlexThresholds } from "../procedures/flex-watch/flex-thresholds.js";
import { FlexWatch, placesOf } from "../procedures/flex-watch/flex-watch.js";
import type { FlexEvent, FlexOutcome } from "../procedures/flex-watch/flex-watch-events.js";
import { type BenchOptions, chooseBench } from "./bench-choice.js";
import { brokenOffReport } from "./broken-off-report.js";
import { wrongUse } from "./command-failure.js";
import { confirmCheckList } from "./confirm-check-list.js";
import { type ExitCode, exitCodes } from "./exit-code.js";
import { collect } from "./fault-option.js";
import { numberOption, wholeNumberOption } from "./number-option.js";
import { partsOption, readPartsFile } from "./parts-file.js";
import { readPlanFile } from "./plan-file.js";
import { onStopRequest } from "./stop-request.js";
import type { Terminal } from "./terminal.js";

interface Options extends BenchOptions {
  readonly parts?: string;
  readonly pin: readonly string[];
  readonly seconds: number;
  readonly gapMs: number;
  readonly gaps: number;
  readonly spreadOhms: number;
  readonly checked?: boolean;
  readonly json?: boolean;
}

const help = `
Examples:
  pinwalk flex umbilical.json --bench /dev/ttyUSB0 --checked
  pinwalk flex umbilical.json --bench /dev/ttyUSB0 --checked --pin TM --seconds 30 --spread-ohms 0.05

Plug both ends in, with the far loads on. Move the cable, hardest where it enters the connectors, while each conductor is
driven. Interruptions of 1 ms and longer are counted.`;

/** `pinwalk flex`: watches a cable's conductors while it is moved. */
export function flexCommand(terminal: Terminal): Command {
  const { leastGapMs, mostGaps, mostSpreadOhms } = usualFlexThresholds;
  return new Command("flex")
    .description(
      "Watch the conductors of a cable while it is bent and pulled: interruptions, and how resistance wavers.",
    )
    .argument("<plan>", "cable plan file (JSON)")
    .option("--bench <PATH>", "serial port of the bench (default: the only bench found), or `virtual`")
    .option("--pin <PIN>", "near pin of a conductor to watch (again for more; default: all in turn)", collect, [])
    .option("--seconds <N>", "how long each is watched", numberOption("seconds", 0.2, 3600), 10)
    .option("--gap-ms <N>", "shortest interruption that counts", numberOption("milliseconds", 0.75, 10_000), leastGapMs)
    .option("--gaps <N>", "interruptions that are allowed", wholeNumberOption("interruptions", 0, 10_000), mostGaps)
    .option("--spread-ohms <N>", "greatest wavering of the resistance", numberOption("ohms", 0, 1000), mostSpreadOhms)
    .option("--fault <KIND@PLACE[=OHMS]>", "emulated bench: a fault in the cable (again for more)", collect, [])
    .option("--fast", "emulated bench: as fast as the machine can, not in real time")
    .option("--checked", "real bench: the check list has been gone through")
    .addOption(partsOption())
    .option("--json", "print one document at the end")
    .addHelpText("after", help)
    .action(async (planPath: string, options: Options) => {
      const library = await readPartsFile(options.parts);
      const plan = await readPlanFile(planPath, library);
      if (plan.kind !== "cable")
        throw wrongUse(`${planPath}: this plan is of a vehicle. A flex watch needs a cable's.`);
      const pins = options.pin.length === 0 ? {} : { pins: options.pin };
      requirePins(plan, options.pin);
      const bench = await chooseBench(plan, options, library);
      if (bench.real) await confirmCheckList(plan, options.checked === true, terminal);
      const { gapMs, gaps, spreadOhms, seconds } = options;
      const thresholds = { leastGapMs: gapMs, mostGaps: gaps, mostSpreadOhms: spreadOhms };
      const watch = new FlexWatch({ plan, port: bench.open, forMs: seconds * 1000, thresholds, ...pins });
      terminal.exitWith(await follow(watch, options.json === true, terminal));
    });
}

function requirePins(plan: CablePlan, pins: readonly string[]): void {
  try {
    placesOf(plan, pins);
  } catch (error) {
    throw wrongUse(error instanceof Error ? error.message : String(error));
  }
}

async function follow(watch: FlexWatch, json: boolean, terminal: Terminal): Promise<ExitCode> {
  const release = onStopRequest(() => watch.cancel());
  try {
    for await (const event of watch) hear(event, json, terminal);
  } finally {
    release();
  }
  return report(await watch.outcome, json, terminal);
}

const followedWords: Readonly<Record<Followed, string>> = {
  "far-volts": "the voltage at its far end",
  amps: "its current",
};

function hear(event: FlexEvent, json: boolean, terminal: Terminal): void {
  switch (event.kind) {
    case "conductor":
      terminal.err(
        `Move the cable: ${event.pin} (${event.index + 1} of ${event.of}), by ${followedWords[event.followed]}.`,
      );
      break;
    case "gap":
      terminal.err(`  ${(event.gap.atMs / 1000).toFixed(2)} s: interrupted for ${event.gap.lengthMs.toFixed(1)} ms`);
      break;
    case "judged":
      if (!json) terminal.out(event.conductor.judged.words);
      break;
    case "connecting":
    case "strip":
    case "ended":
      break;
  }
}

function report(outcome: FlexOutcome, json: boolean, terminal: Terminal): ExitCode {
  if (outcome.kind !== "watched") return brokenOffReport(outcome, terminal);
  const { conductors, thresholds, overall } = outcome;
  if (json) terminal.out(JSON.stringify({ format: "pinwalk-flex/1", overall, thresholds, conductors }, null, 2));
  return exitCodes[overall];
}
