import type { Command } from "commander";
import { batchCsv } from "../../records/batch/batch-csv.js";
import { type BatchReport, batchReport } from "../../records/batch/batch-report.js";
import { wrongUse } from "../command-failure.js";
import { exitCodes } from "../exit-code.js";
import { numberOption } from "../number-option.js";
import type { Terminal } from "../terminal.js";
import { textTable } from "../text-table.js";
import { shownLine, shownText } from "./shown-text.js";
import { type StoreOption, storeCommand, withStore } from "./store-access.js";
import { writeWholeFile } from "./written-file.js";

interface Options extends StoreOption {
  readonly mostOhms?: number;
  readonly csv?: string;
  readonly json?: boolean;
  readonly force?: boolean;
}

function batchText(report: BatchReport): string {
  const outliers = report.quantities.flatMap(({ pin, quantity, unit, outliers: found, spread }) =>
    found.map(
      ({ serial, value }) =>
        `  ${shownLine(serial)}: ${quantity} of ${pin} is ${value.toFixed(3)} ${unit}, median ${spread.median.toFixed(3)}`,
    ),
  );
  const table = textTable(
    ["Pin", "Circuit", "Quantity", "Count", "Mean", "Deviation", "Least", "Most", "Cpk", "95 % range"].map(
      (title, index) => ({
        title,
        align: index < 3 ? "left" : "right",
      }),
    ),
    report.quantities.map(({ pin, circuit, quantity, unit, spread, capability }) => [
      pin,
      circuit,
      `${quantity}, ${unit}`,
      String(spread.count),
      spread.mean.toFixed(3),
      spread.deviation.toFixed(4),
      spread.least.toFixed(3),
      spread.most.toFixed(3),
      capability?.cpk.toFixed(2) ?? "-",
      capability ? `${capability.cpkLow.toFixed(2)} to ${capability.cpkHigh.toFixed(2)}` : "-",
    ]),
  );
  return [
    `Batch ${report.batch}: ${report.tested} tested, ${report.passed} passed${report.retested > 0 ? `; ${report.retested} older tests left out` : ""}`,
    ...(report.failed.length > 0
      ? [`Not passed: ${report.failed.map(({ serial, verdict }) => `${serial} (${verdict})`).join(", ")}`]
      : []),
    "",
    table,
    "",
    ...(outliers.length > 0 ? ["Stand apart from the others:", ...outliers] : ["None stands apart from the others."]),
    ...report.remarks,
  ].join("\n");
}

/** `pinwalk records batch`: spread, outliers and capability of a batch. */
export function batchCommand(terminal: Terminal): Command {
  return storeCommand("batch")
    .description("Judge a batch of cables: spread, those that stand apart, capability against limits.")
    .argument("<batch>", "the batch's name, as it was kept")
    .option("--most-ohms <ohms>", "largest resistance that a conductor may have", numberOption("ohms", 0.001, 1000))
    .option("--csv <file>", "write one line a quantity")
    .option("--force", "write over an existing file")
    .option("--json", "print one document with every value")
    .action(async (batch: string, options: Options) => {
      const report = await withStore("read", options, async (store) => {
        const records = await store.batch(batch);
        if (records.length === 0) throw wrongUse(`No record of batch ${batch}.`);
        const made = batchReport(batch, records, options.mostOhms === undefined ? {} : { mostOhms: options.mostOhms });
        if (options.csv !== undefined) await writeWholeFile(options.csv, batchCsv(made), options.force);
        return made;
      });
      terminal.exitWith(exitCodes.pass);
      terminal.out(options.json ? JSON.stringify(report, null, 2) : shownText(batchText(report)));
    });
}
