import { csvFile } from "../report/csv-cell.js";
import type { BatchReport } from "./batch-report.js";

const titles = [
  "batch",
  "pin",
  "circuit",
  "quantity",
  "unit",
  "count",
  "mean",
  "deviation",
  "median",
  "least",
  "most",
  "uncertainty",
  "limit_low",
  "limit_high",
  "cp",
  "cpk",
  "cpk_low",
  "cpk_high",
  "outliers",
];

/** One line a quantity of a batch, for a spreadsheet. */
export function batchCsv(report: BatchReport): string {
  const rows = report.quantities.map(
    ({ pin, circuit, quantity, unit, spread, uncertainty, limits, capability, outliers }) => [
      report.batch,
      pin,
      circuit,
      quantity,
      unit,
      spread.count,
      spread.mean,
      spread.deviation,
      spread.median,
      spread.least,
      spread.most,
      uncertainty,
      limits.low,
      limits.high,
      capability?.cp,
      capability?.cpk,
      capability?.cpkLow,
      capability?.cpkHigh,
      outliers.map(({ serial }) => serial).join(" "),
    ],
  );
  return csvFile(titles, rows);
}
