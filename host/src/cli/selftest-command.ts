import { createInterface } from "node:readline/promises";
import { driveChannels } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { Command } from "commander";
import { adapterOf } from "../plan/adapter.js";
import type { Plan } from "../plan/plan-schema.js";
import { SelfTest, type SelfTestOutcome, type SelfTestStep } from "../procedures/self-test/self-test.js";
import type { SelfTestItem } from "../procedures/self-test/self-test-item.js";
import { type BenchOptions, chooseBench } from "./bench-choice.js";
import { brokenOffReport } from "./broken-off-report.js";
import { type ExitCode, exitCodes } from "./exit-code.js";
import { partsOption, readPartsFile } from "./parts-file.js";
import { readPlanFile } from "./plan-file.js";
import { onStopRequest } from "./stop-request.js";
import type { Colour, Terminal } from "./terminal.js";

interface Options extends BenchOptions {
  readonly parts?: string;
  readonly bare?: boolean;
  readonly loads?: boolean;
  readonly json?: boolean;
}

const help = `
Examples:
  pinwalk selftest --bench /dev/ttyUSB0 --bare
  pinwalk selftest --bench /dev/ttyUSB0 --loads

With no vehicle on the bench. First the bench tells of itself; then, with nothing plugged in, its inputs and low-current
sources are tested; then, with the far socket and its 47 Ω loads on the near connector, its switches, current and slow
limit. On a terminal it asks before each part. Exit code 2: something is open, such as a bench that was never calibrated.`;

/** `pinwalk selftest`: the bench's own tests, and what to look at when one fails. */
export function selftestCommand(terminal: Terminal): Command {
  return new Command("selftest")
    .description("Test the bench itself, and say what to look at when something is wrong.")
    .argument("[plan]", "plan whose connector the far socket fits; emulated bench: what is plugged into it (JSON)")
    .option("--bench <PATH>", "serial port of the bench (default: the only bench found), or `virtual`")
    .option("--bare", "nothing is plugged into the bench")
    .option("--loads", "the far socket with its loads is plugged into the near connector")
    .option("--fast", "emulated bench: as fast as the machine can, not in real time")
    .addOption(partsOption())
    .option("--json", "print one document")
    .addHelpText("after", help)
    .action(async (planPath: string | undefined, options: Options) => {
      const library = await readPartsFile(options.parts);
      const plan = planPath === undefined ? undefined : await readPlanFile(planPath, library);
      const bench = await chooseBench(plan, options, library);
      const test = new SelfTest({ port: bench.open, ...(plan === undefined ? {} : { wired: wiredChannels(plan) }) });
      const release = onStopRequest(() => test.cancel());
      try {
        for await (const event of test) {
          if (event.kind === "item" && !options.json) terminal.out(itemText(event.item, terminal));
          if (event.kind !== "step") continue;
          if (await isReady(event.step, options, terminal)) test.ready();
          else test.skip();
        }
      } finally {
        release();
      }
      terminal.exitWith(report(await test.outcome, options.json === true, terminal));
    });
}

/** Drive channels that have a pin on the plan's connector, its ground apart. */
function wiredChannels(plan: Plan): readonly number[] {
  const { near, groundPins } = adapterOf(plan);
  return near
    .filter(({ pin, channel }) => channel < driveChannels && !groundPins.includes(pin))
    .map(({ channel }) => channel);
}

const stepWords: Readonly<Record<SelfTestStep, string>> = {
  "nothing-plugged-in": "Unplug everything from the bench's connectors.",
  "far-loads": "Plug the far socket with its loads into the near connector.",
};

async function isReady(step: SelfTestStep, { bare, loads }: Options, terminal: Terminal): Promise<boolean> {
  if (bare === true || loads === true) return step === "far-loads" ? loads === true : bare === true;
  if (!terminal.canAsk) return false;
  const lines = createInterface({ input: process.stdin, output: process.stderr });
  const gone = new Promise<string>((resolve) => {
    lines.once("SIGINT", () => lines.close());
    lines.once("close", () => resolve("no"));
  });
  try {
    return (
      (
        await Promise.race([
          lines.question(`${stepWords[step]} Type yes when that is so, or press Enter to leave it out: `),
          gone,
        ])
      )
        .trim()
        .toLowerCase() === "yes"
    );
  } finally {
    lines.close();
  }
}

const verdictColours: Readonly<Record<SelfTestItem["verdict"], Colour>> = {
  pass: "green",
  fail: "red",
  unsure: "yellow",
  "not-tested": "dim",
};

function itemText({ verdict, words, lookAt }: SelfTestItem, terminal: Terminal): string {
  const mark = terminal.paint(verdictColours[verdict], verdict.toUpperCase().padEnd(10));
  return lookAt === undefined ? `${mark}  ${words}` : `${mark}  ${words}\n            Look at: ${lookAt}`;
}

function report(outcome: SelfTestOutcome, json: boolean, terminal: Terminal): ExitCode {
  if (outcome.kind !== "tested") return brokenOffReport(outcome, terminal);
  const { overall, items } = outcome;
  if (json) terminal.out(JSON.stringify({ format: "pinwalk-selftest/1", overall, items }, null, 2));
  return exitCodes[overall];
}
