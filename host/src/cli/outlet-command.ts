import { createInterface } from "node:readline/promises";
import { Command } from "commander";
import { openVirtualBench, type VirtualBench } from "../bench/virtual/virtual-bench.js";
import { adapterOf } from "../plan/adapter.js";
import type { PartsLibrary } from "../plan/parts/parts-library.js";
import type { Plan } from "../plan/plan-schema.js";
import { OutletCheck } from "../procedures/outlet-check/outlet-check.js";
import type { OutletCheckOutcome, OutletStep } from "../procedures/outlet-check/outlet-check-events.js";
import { usualOutletThresholds } from "../procedures/outlet-check/outlet-verdict.js";
import { type BenchOptions, chooseBench, virtualBenchName } from "./bench-choice.js";
import { brokenOffReport } from "./broken-off-report.js";
import { wrongUse } from "./command-failure.js";
import { type ExitCode, exitCodes } from "./exit-code.js";
import { collect } from "./fault-option.js";
import { numberOption } from "./number-option.js";
import { partsOption, readPartsFile } from "./parts-file.js";
import { readPlanFile } from "./plan-file.js";
import { playForm, playHelp, readPlayed } from "./play-option.js";
import { onStopRequest } from "./stop-request.js";
import type { Terminal } from "./terminal.js";

interface Options extends BenchOptions {
  readonly parts?: string;
  readonly pin: readonly string[];
  readonly play: readonly string[];
  readonly seconds: number;
  readonly dropVolts: number;
  readonly json?: boolean;
}

const help = `
Examples:
  pinwalk outlet plan.json --bench /dev/ttyUSB0 --pin LT --pin RT --pin TM
  pinwalk outlet plan.json --bench virtual --fast --play TM=steady --play LT=flashing,90,0.5

Nothing is driven. It asks before each part; the far loads go on the same pins for the second. A pin that loses more than
the allowed volts under the quarter of an ampere of its load has a bad contact, or a bad ground.
${playHelp}`;

/** `pinwalk outlet`: compares a tow vehicle's outlet without and with the far loads. */
export function outletCommand(terminal: Terminal): Command {
  return new Command("outlet")
    .description("Compare the volts of a tow vehicle's outlet without and with the far loads.")
    .argument("<plan>", "plan whose connector the outlet has (JSON)")
    .option("--bench <PATH>", "serial port of the bench (default: the only bench found), or `virtual`")
    .option("--pin <PIN>", "pin to listen to (again for more; default: all but the ground)", collect, [])
    .option("--seconds <N>", "how long each is listened to", numberOption("seconds", 0.2, 9), 3)
    .option(
      "--drop-volts <N>",
      "most that a pin may lose",
      numberOption("volts", 0.05, 12),
      usualOutletThresholds.mostDropVolts,
    )
    .option(`--play ${playForm}`, "emulated bench: what a pin of the outlet carries (again for more)", collect, [])
    .option("--fast", "emulated bench: as fast as the machine can, not in real time")
    .addOption(partsOption())
    .option("--json", "print one document at the end")
    .addHelpText("after", help)
    .action(async (planPath: string, options: Options) => {
      const library = await readPartsFile(options.parts);
      const plan = await readPlanFile(planPath, library);
      const pins = placesOf(plan, options.pin);
      const thresholds = { mostDropVolts: options.dropVolts };
      const { port, fit } = await outletOf(plan, library, options, terminal);
      const check = new OutletCheck({ port, pins, forMs: options.seconds * 1000, thresholds });
      const release = onStopRequest(() => check.cancel());
      try {
        for await (const event of check) {
          if (event.kind === "pin") terminal.err(`Listening to ${event.pin} (${event.index + 1} of ${event.of}).`);
          if (event.kind !== "step") continue;
          if (await fit(event.step, event.words)) check.ready();
          else check.skip();
        }
      } finally {
        release();
      }
      terminal.exitWith(report(await check.outcome, options.json === true, terminal));
    });
}

function placesOf(
  plan: Plan,
  wanted: readonly string[],
): readonly { readonly pin: string; readonly channel: number }[] {
  const { near, groundPins } = adapterOf(plan);
  const places = near.filter(({ pin }) => !groundPins.includes(pin));
  if (wanted.length === 0) return places;
  return wanted.map((pin) => {
    const place = places.find((one) => one.pin === pin);
    if (place === undefined)
      throw wrongUse(`There is no pin "${pin}" to listen to. There are ${places.map((one) => one.pin).join(", ")}.`);
    return place;
  });
}

interface OutletOnBench {
  readonly port: VirtualBench | (() => ReturnType<Awaited<ReturnType<typeof chooseBench>>["open"]>);
  /** Makes it so, or asks; false when it is left out. */
  readonly fit: (step: OutletStep, words: string) => Promise<boolean>;
}

/** The emulated outlet gets its loads by itself; at a real one a person puts them on. */
async function outletOf(
  plan: Plan,
  library: PartsLibrary,
  options: Options,
  terminal: Terminal,
): Promise<OutletOnBench> {
  const played = readPlayed(options.play);
  if (options.bench === virtualBenchName) {
    const bench = await openVirtualBench({ plan, library, pace: options.fast ? "fast" : "real" });
    const fit = async (step: OutletStep): Promise<boolean> => {
      await bench.plugOutlet({ pins: played, farLoads: step === "with-loads" });
      return true;
    };
    return { port: bench, fit };
  }
  if (played.length > 0)
    throw wrongUse(`--play is for the emulated bench alone. Say --bench ${virtualBenchName} with it.`);
  const chosen = await chooseBench(plan, options, library);
  if (!terminal.canAsk) throw wrongUse("There is nobody to ask for the far loads. Nothing was done.");
  return { port: chosen.open, fit: (_, words) => asked(words) };
}

async function asked(words: string): Promise<boolean> {
  const lines = createInterface({ input: process.stdin, output: process.stderr });
  const gone = new Promise<string>((resolve) => {
    lines.once("SIGINT", () => lines.close());
    lines.once("close", () => resolve("no"));
  });
  try {
    const question = lines.question(`${words} Type yes when that is so, or press Enter to leave it out: `);
    return (await Promise.race([question, gone])).trim().toLowerCase() === "yes";
  } finally {
    lines.close();
  }
}

function report(outcome: OutletCheckOutcome, json: boolean, terminal: Terminal): ExitCode {
  if (outcome.kind !== "compared") return brokenOffReport(outcome, terminal);
  const { pins, thresholds, overall } = outcome;
  if (json) terminal.out(JSON.stringify({ format: "pinwalk-outlet/1", overall, pins, thresholds }, null, 2));
  else for (const { verdict, words } of pins) terminal.out(`${verdict.toUpperCase().padEnd(8)}${words}`);
  return exitCodes[overall];
}
