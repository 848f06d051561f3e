import { createInterface } from "node:readline";
import { Command } from "commander";
import { adapterOf } from "../plan/adapter.js";
import type { Plan } from "../plan/plan-schema.js";
import type { BrokenOff } from "../procedures/bench-turn.js";
import { Listening } from "../procedures/listening/listening.js";
import type { Heard } from "../procedures/listening/listening-events.js";
import { signalWords, wireFunctionWords } from "../procedures/listening/signal-words.js";
import { type BenchOptions, chooseBench } from "./bench-choice.js";
import { brokenOffReport } from "./broken-off-report.js";
import { wrongUse } from "./command-failure.js";
import { type ExitCode, exitCodes } from "./exit-code.js";
import { collect } from "./fault-option.js";
import { numberOption, wholeNumberOption } from "./number-option.js";
import { partsOption, readPartsFile } from "./parts-file.js";
import { readPlanFile } from "./plan-file.js";
import { playForm, playHelp, readPlayed } from "./play-option.js";
import { onStopRequest } from "./stop-request.js";
import type { Terminal } from "./terminal.js";

interface Options extends BenchOptions {
  readonly parts?: string;
  readonly pin?: string;
  readonly channel?: number;
  readonly seconds?: number;
  readonly play: readonly string[];
  readonly json?: boolean;
}

const help = `
Examples:
  pinwalk listen --bench /dev/ttyUSB0 --channel 0
  pinwalk listen plan.json --bench /dev/ttyUSB0 --pin TM --seconds 20 --json
  pinwalk listen plan.json --bench virtual --pin TM --play TM=flashing,90,0.5 --seconds 8 --fast

Nothing is driven. While it listens, type what you switch, one a line: "tail on", "tail off", "left-turn on". From that it
tells which function the wire carries. An empty line ends it. Exit code 0: a signal came; 2: nothing came.
Flash rates of 60 to 120 a minute are normal.
${playHelp}`;

/** `pinwalk listen`: says live what one wire carries. */
export function listenCommand(terminal: Terminal): Command {
  return new Command("listen")
    .description("Listen to one wire: steady, flashing, pedal or pulses, and which function it carries.")
    .argument("[plan]", "plan file (JSON), for --pin")
    .option("--bench <PATH>", "serial port of the bench (default: the only bench found), or `virtual`")
    .option("--pin <PIN>", "pin of the plan's connector")
    .option("--channel <N>", "input of the bench, 0 to 12", wholeNumberOption("channel", 0, 12))
    .option("--seconds <N>", "end after so long (default: at an empty line)", numberOption("seconds", 0.1, 3600))
    .option("--fault <KIND@PLACE[=OHMS]>", "emulated bench: a fault in the vehicle (again for more)", collect, [])
    .option(`--play ${playForm}`, "emulated bench: what a pin carries (again for more)", collect, [])
    .option("--fast", "emulated bench: as fast as the machine can, not in real time")
    .addOption(partsOption())
    .option("--json", "print one document at the end")
    .addHelpText("after", help)
    .action(async (planPath: string | undefined, options: Options) => {
      const library = await readPartsFile(options.parts);
      const plan = planPath === undefined ? undefined : await readPlanFile(planPath, library);
      const channel = channelOf(plan, options);
      const bench = await chooseBench(plan, options, library, readPlayed(options.play));
      const forMs = options.seconds === undefined ? {} : { forMs: options.seconds * 1000 };
      const listening = new Listening({ port: bench.open, channel, ...forMs });
      terminal.exitWith(await follow(listening, channel, options, terminal));
    });
}

function channelOf(plan: Plan | undefined, { pin, channel }: Options): number {
  if ((pin === undefined) === (channel === undefined)) throw wrongUse("Say either --pin or --channel.");
  if (channel !== undefined) return channel;
  if (plan === undefined)
    throw wrongUse("--pin needs the plan whose connector it is on. Give the plan, or say --channel.");
  const places = adapterOf(plan).near;
  const place = places.find((one) => one.pin === pin);
  if (place !== undefined) return place.channel;
  throw wrongUse(`There is no pin "${pin}". The connector has ${places.map((one) => one.pin).join(", ")}.`);
}

async function follow(
  listening: Listening,
  channel: number,
  { json, seconds }: Options,
  terminal: Terminal,
): Promise<ExitCode> {
  const release = onStopRequest(() => listening.cancel());
  const lines = createInterface({ input: process.stdin });
  lines.on("line", (line) => take(line, listening, terminal));
  // With nobody left to end it, it would listen for ever.
  if (seconds === undefined) lines.on("close", () => listening.finish());
  let last = "";
  try {
    for await (const event of listening) {
      if (event.kind === "listening")
        terminal.err("Listening. Type what you switch (tail on, tail off); an empty line ends it.");
      if (event.kind !== "heard" || json) continue;
      const [words = ""] = signalWords(event.reading);
      // Figures that only tremble are no news.
      const gist = words.replaceAll(/[\d.]+/g, "");
      if (gist !== last) terminal.out(`${(event.atMs / 1000).toFixed(0).padStart(4)} s  ${words}`);
      last = gist;
    }
  } finally {
    release();
    lines.close();
    process.stdin.unref?.();
  }
  return report(await listening.outcome, channel, json === true, terminal);
}

function take(line: string, listening: Listening, terminal: Terminal): void {
  const text = line.trim().toLowerCase();
  if (text === "") {
    listening.finish();
    return;
  }
  const said = /^(?<name>[a-z0-9-]+)\s+(?<state>on|off)$/.exec(text);
  if (said?.groups?.name === undefined) terminal.err('Type a function and on or off, like "left-turn on".');
  else listening.said(said.groups.name, said.groups.state === "on");
}

function report(
  outcome: ({ readonly kind: "heard" } & Heard) | BrokenOff,
  channel: number,
  json: boolean,
  terminal: Terminal,
): ExitCode {
  if (outcome.kind !== "heard") return brokenOffReport(outcome, terminal);
  const { reading, functions, lostWindows } = outcome;
  const words = [...signalWords(reading), wireFunctionWords(functions)];
  if (lostWindows > 0) words.push(`${lostWindows} windows of 2 ms were lost on the line to the bench.`);
  if (json) {
    const { fromMs, toMs, onVolts, layers } = reading;
    const heard = { fromMs, toMs, onVolts, layers };
    terminal.out(
      JSON.stringify({ format: "pinwalk-listening/1", channel, ...heard, functions, lostWindows, words }, null, 2),
    );
  } else for (const sentence of words) terminal.out(sentence);
  return reading.layers.length > 0 ? exitCodes.pass : exitCodes.unsure;
}
