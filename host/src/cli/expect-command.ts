import { Command } from "commander";
import { expectedLoads } from "../plan/expected.js";
import type { Plan } from "../plan/plan-schema.js";
import { exitCodes } from "./exit-code.js";
import { numberOption } from "./number-option.js";
import { partsOption, readPartsFile } from "./parts-file.js";
import { readPlanFile } from "./plan-file.js";
import type { Terminal } from "./terminal.js";
import { textTable } from "./text-table.js";

interface Options {
  readonly volts?: number;
  readonly json?: boolean;
  readonly parts?: string;
}

/** What the reference bench has between its supply and the pin (shunt, fuse, switch, leads), ohms. */
const sourceOhms = 0.1;

/** The supply that is meant when nothing is said: an engine-off battery with a charger just taken off, per nominal 12 V. */
const healthySupplyVolts = (plan: Plan): number => (plan.nominalVolts / 12) * 12.8;

/** `pinwalk expect`: what each pin of a healthy job draws, with its band. */
export function expectCommand(terminal: Terminal): Command {
  return new Command("expect")
    .description("Show the current that each pin of a plan should draw, with its band, and the volts at each lamp.")
    .argument("<plan>", "plan file (JSON)")
    .option(
      "--volts <V>",
      "supply in volts before the bench's own 0.10 ohms (default: 12.8 per nominal 12 V)",
      numberOption("volts", 1, 60),
    )
    .addOption(partsOption())
    .option("--json", "print one document: per pin amps, low, high, volts, lampVolts")
    .addHelpText("after", "\nExample:\n  pinwalk expect fixtures/plans/hatchback-round-6.json --volts 12.8 --json")
    .action(async (path: string, { volts, json, parts }: Options) => {
      const library = await readPartsFile(parts);
      const plan = await readPlanFile(path, library);
      const sourceVolts = volts ?? healthySupplyVolts(plan);
      const pins = expectedLoads(plan, { sourceVolts, sourceOhms, library });
      const document = {
        format: "pinwalk-expected/1",
        plan: plan.name,
        source: { volts: sourceVolts, ohms: sourceOhms },
        pins,
      };
      terminal.out(json ? JSON.stringify(document, null, 2) : expectedText(document));
      terminal.exitWith(exitCodes.pass);
    });
}

function expectedText({
  plan,
  source,
  pins,
}: {
  plan: string;
  source: { volts: number; ohms: number };
  pins: ReturnType<typeof expectedLoads>;
}): string {
  const table = textTable(
    [
      { title: "Pin", align: "left" },
      { title: "Function", align: "left" },
      { title: "Amps", align: "right" },
      { title: "Low", align: "right" },
      { title: "High", align: "right" },
      { title: "Volts", align: "right" },
      { title: "At the lamps, V", align: "left" },
    ],
    pins.map((pin) => [
      pin.pin,
      pin.function,
      ...[pin.amps, pin.low, pin.high].map((value) => value.toFixed(3)),
      pin.volts.toFixed(2),
      Object.entries(pin.lampVolts)
        .map(([lamp, value]) => `${lamp} ${value.toFixed(2)}`)
        .join(", "),
    ]),
  );
  return `${plan}\nSupply ${source.volts.toFixed(2)} V behind ${source.ohms.toFixed(2)} ohms\n\n${table}`;
}
