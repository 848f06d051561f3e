import type { BatchReport } from "../../records/batch/batch-report.js";
import type { SavedRecord } from "../../records/store/saved-record.js";
import type { BatchView } from "./cable-contract.js";

/** Cables that a page lists; the spread is over all of them. */
const mostRows = 200;

type Told = Pick<BatchView, "columns" | "rows" | "tested" | "passed" | "retested" | "spread">;

/** A batch as the page shows it: each cable with its resistances, and the spread of each conductor over the batch. */
export function batchContent(report: BatchReport, records: readonly SavedRecord[]): Told {
  const quantities = report.quantities.filter(({ quantity }) => quantity === "resistance");
  const standing = records.filter(({ summary }) => summary.correctedBy === null);
  const newest = [...standing].sort((one, other) => other.record.number - one.record.number);
  const rows = newest.slice(0, mostRows).map(({ hash, summary, record }) => ({
    serial: summary.serial,
    hash,
    testedAt: summary.testedAt,
    verdict: summary.verdict,
    ohms: quantities.map(({ values }) => values.find((one) => one.hash === hash)?.value ?? null),
    wrong: record.findings.circuits
      .filter(({ verdict }) => verdict !== "pass" && verdict !== "not-judged")
      .map(({ pin, verdict }) => `${pin} ${verdict.replaceAll("-", " ")}`),
  }));
  return {
    columns: quantities.map(({ pin }) => pin),
    rows,
    tested: report.tested,
    passed: report.passed,
    retested: report.retested,
    spread: quantities.map(({ pin, spread: { count, least, median, most }, outliers }) => ({
      pin,
      count,
      least,
      median,
      most,
      outliers: outliers.map(({ serial }) => serial),
    })),
  };
}

export const emptyBatch: Told = { columns: [], rows: [], tested: 0, passed: 0, retested: 0, spread: [] };
