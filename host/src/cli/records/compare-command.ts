import type { Command } from "commander";
import { compareRecords } from "../../records/compare/compare-records.js";
import { wrongUse } from "../command-failure.js";
import { exitCodes } from "../exit-code.js";
import type { Terminal } from "../terminal.js";
import { textTable } from "../text-table.js";
import { shownLine, shownText } from "./shown-text.js";
import { type StoreOption, storeCommand, withStore } from "./store-access.js";

interface Options extends StoreOption {
  readonly json?: boolean;
}

type Comparison = NonNullable<ReturnType<typeof compareRecords>>;

const signed = (value: number, digits: number): string => `${value >= 0 ? "+" : "-"}${Math.abs(value).toFixed(digits)}`;
const figure = (value: { value: number; uncertainty: number } | null, digits: number): string =>
  value === null ? "-" : `${signed(value.value, digits)} ± ${value.uncertainty.toFixed(digits)}`;

function comparisonText({ serial, records, circuits, statements, cautions, leftOut }: Comparison): string {
  const table = textTable(
    [
      { title: "Pin", align: "left" },
      { title: "Function", align: "left" },
      { title: "First A", align: "right" },
      { title: "Last A", align: "right" },
      { title: "Change %", align: "right" },
      { title: "Path Ω", align: "right" },
      { title: "% a year", align: "right" },
    ],
    circuits.map((circuit) => [
      circuit.pin,
      circuit.function,
      circuit.points[0]?.amps.value.toFixed(2) ?? "-",
      circuit.points.at(-1)?.amps.value.toFixed(2) ?? "-",
      figure(circuit.changePercent, 1),
      figure(circuit.gainedOhms, 2),
      figure(circuit.percentPerYear, 1),
    ]),
  );
  const span = `${records[0]?.testedAt.slice(0, 10)} to ${records.at(-1)?.testedAt.slice(0, 10)}`;
  return [
    `${shownLine(serial)}: ${records.length} ${records.length === 1 ? "record" : "records"}, ${span}${leftOut > 0 ? `; ${leftOut} that were put right left out` : ""}`,
    "",
    ...statements,
    "",
    table,
    "",
    ...cautions,
  ].join("\n");
}

/** `pinwalk records compare`: what has drifted since the first record of a vehicle or cable. */
export function compareCommand(terminal: Terminal): Command {
  return storeCommand("compare")
    .description("Compare all records of one vehicle or cable: what has drifted, and by more than the bench can err.")
    .argument("<serial>", "serial number, licence plate or VIN")
    .option("--json", "print one document with every point of every circuit")
    .action(async (serial: string, options: Options) => {
      const comparison = await withStore("read", options, async (store) => compareRecords(await store.history(serial)));
      if (!comparison) throw wrongUse(`No record of ${serial}.`);
      terminal.exitWith(exitCodes.pass);
      terminal.out(options.json ? JSON.stringify(comparison, null, 2) : shownText(comparisonText(comparison)));
    });
}
