import { createInterface, type Interface } from "node:readline/promises";
import { Command } from "commander";
import { Calibrating, type CalibratingEvent, type CalibratingOutcome } from "../procedures/calibration/calibrating.js";
import type { CalibrationStep } from "../procedures/calibration/calibration-steps.js";
import { type BenchOptions, chooseBench } from "./bench-choice.js";
import { brokenOffReport } from "./broken-off-report.js";
import {
  type CalibrationAnswers,
  calibrationAnswersSchema,
  knownResistor,
  meterOf,
  writtenAnswer,
} from "./calibration-answers.js";
import { wrongUse } from "./command-failure.js";
import { type ExitCode, exitCodes } from "./exit-code.js";
import { readJsonFile, requireWritable, writeJsonFile } from "./json-file.js";
import { partsOption, readPartsFile } from "./parts-file.js";
import { readPlanFile } from "./plan-file.js";
import { onStopRequest } from "./stop-request.js";
import type { Terminal } from "./terminal.js";

interface Options extends BenchOptions {
  readonly parts?: string;
  readonly answers: string;
  readonly save?: string;
  readonly json?: boolean;
}

const help = `
Example of the file for --answers; percent and volts are limits, as the meter's booklet and the resistors' bands give them:
  {
    "meter": { "percent": 0.5, "volts": 0.02 },
    "resistors": [{ "ohms": 10, "percent": 1 }, { "ohms": 4.7, "percent": 1 }, { "ohms": 2.2, "percent": 1 }],
    "lowResistor": { "ohms": 1000, "percent": 1 },
    "serial": "bench-1"
  }
It then asks step by step. With "readings": { "supply": 12.74, "joined": [11.02, 6.98, 3.05] } in the file nothing is asked:
for a fixture that does the steps by itself. The resistors for the current take up to 75 W for two seconds.
Nothing is written into the bench before the last step. Have the bench calibrated again after a year (common practice, no source).`;

/** `pinwalk calibrate`: compares a bench with a meter and known resistors, and writes its constants. */
export function calibrateCommand(terminal: Terminal): Command {
  return new Command("calibrate")
    .description("Calibrate a bench against a meter and known resistors, and write the constants into it.")
    .argument("[plan]", "emulated bench: what is plugged into it (JSON)")
    .requiredOption("--answers <FILE>", "meter, resistors and, if wanted, readings (JSON)")
    .option("--bench <PATH>", "serial port of the bench (default: the only bench found), or `virtual`")
    .option("--fast", "emulated bench: as fast as the machine can, not in real time")
    .option("--save <FILE>", "keep the calibration's document in FILE")
    .addOption(partsOption())
    .option("--json", "print the calibration's document")
    .addHelpText("after", help)
    .action(async (planPath: string | undefined, options: Options) => {
      const answers = await readAnswers(options.answers);
      if (options.save !== undefined) await requireWritable(options.save, "calibration document");
      if (answers.readings === undefined && !terminal.canAsk) {
        throw wrongUse(`${options.answers} holds no readings, and there is nobody to ask. Nothing was done.`);
      }
      const library = await readPartsFile(options.parts);
      const plan = planPath === undefined ? undefined : await readPlanFile(planPath, library);
      const bench = await chooseBench(plan, options, library);
      const calibrating = new Calibrating({
        port: bench.open,
        meter: meterOf(answers),
        resistors: answers.resistors.map(knownResistor),
        lowResistor: knownResistor(answers.lowResistor),
        ...(answers.serial === undefined ? {} : { serial: answers.serial }),
      });
      await follow(calibrating, answers, terminal);
      terminal.exitWith(await report(await calibrating.outcome, options, terminal));
    });
}

async function readAnswers(path: string): Promise<CalibrationAnswers> {
  const parsed = calibrationAnswersSchema.safeParse(await readJsonFile(path, "answers file"));
  if (parsed.success) return parsed.data;
  const problems = parsed.error.issues.map((issue) => `  ${issue.path.join(".") || "(top)"}: ${issue.message}`);
  throw wrongUse([`${path}: these answers cannot be used.`, ...problems].join("\n"));
}

async function follow(calibrating: Calibrating, answers: CalibrationAnswers, terminal: Terminal): Promise<void> {
  const lines =
    answers.readings === undefined ? createInterface({ input: process.stdin, output: process.stderr }) : undefined;
  const release = onStopRequest(() => calibrating.cancel());
  // A question that waits ends only with its interface.
  lines?.on("SIGINT", () => lines.close());
  lines?.on("close", () => calibrating.cancel());
  try {
    for await (const event of calibrating) await hear(event, calibrating, answers, lines, terminal);
  } finally {
    release();
    lines?.close();
  }
}

async function hear(
  event: CalibratingEvent,
  calibrating: Calibrating,
  { readings }: CalibrationAnswers,
  lines: Interface | undefined,
  terminal: Terminal,
): Promise<void> {
  if (event.kind === "found") {
    const { volts, amps } = event.uncertainty;
    terminal.err(
      `Found: volts to ${percent(volts.relative)} and ${(volts.offset * 1000).toFixed(1)} mV, amps to ${percent(amps.relative)} and ${(amps.offset * 1000).toFixed(1)} mA (standard uncertainty).`,
    );
  }
  if (event.kind !== "step") return;
  const { step, number, of } = event;
  terminal.err(`${number} of ${of}: ${step.words}`);
  const answer = readings === undefined ? await asked(step, lines, terminal) : writtenAnswer(step, readings);
  if (answer === undefined) calibrating.skip();
  else calibrating.answer(answer);
}

const percent = (share: number): string => `${(share * 100).toFixed(2)} %`;

function closed(lines: Interface | undefined): Promise<undefined> {
  return new Promise((resolve) => lines?.once("close", () => resolve(undefined)));
}

/** The person's answer; undefined when it cannot be given. */
async function asked(
  step: CalibrationStep,
  lines: Interface | undefined,
  terminal: Terminal,
): Promise<number | undefined> {
  const question =
    step.wants === "done" ? "Press Enter when that is so: " : step.optional ? "Volts (or skip): " : "Volts: ";
  for (;;) {
    // An interface that was closed answers nothing any more.
    const text = await Promise.race([lines?.question(question).catch(() => undefined), closed(lines)]);
    if (text === undefined || (step.optional && text.trim() === "skip")) return undefined;
    if (step.wants === "done") return 0;
    const volts = Number(text.trim().replace(",", "."));
    if (text.trim() !== "" && volts > 0 && volts < 20) return volts;
    terminal.err("Give the meter's volts, like 12.74.");
  }
}

async function report(outcome: CalibratingOutcome, { save, json }: Options, terminal: Terminal): Promise<ExitCode> {
  if (outcome.kind !== "calibrated") return brokenOffReport(outcome, terminal);
  const { document } = outcome;
  if (save !== undefined) await writeJsonFile(save, document);
  if (json) terminal.out(JSON.stringify(document, null, 2));
  else {
    const { pinVolts, amps, supplyVolts } = document.residuals;
    terminal.out(`Calibrated ${document.calibratedAt}, due again ${document.dueAt} (revision ${document.revision}).`);
    terminal.out(
      `Farthest from its line: pins ${(pinVolts * 1000).toFixed(1)} mV, supply ${(supplyVolts * 1000).toFixed(1)} mV, current ${(amps * 1000).toFixed(1)} mA.`,
    );
  }
  return exitCodes.pass;
}
