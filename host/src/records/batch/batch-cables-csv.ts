import { conductorOhms } from "../compare/circuit-points.js";
import { measuredGroundOhms } from "../compare/ground-ohms.js";
import { csvFile } from "../report/csv-cell.js";
import type { SavedRecord } from "../store/saved-record.js";

/** One line a tested cable of a batch, in order of testing: its verdict, what is wrong, and each conductor's ohms. */
export function batchCablesCsv(records: readonly SavedRecord[]): string {
  const standing = records.filter(({ summary }) => summary.correctedBy === null);
  const ordered = [...standing].sort((one, other) => one.record.number - other.record.number);
  const pins = [...new Set(ordered.flatMap(({ record }) => record.findings.circuits.map(({ pin }) => pin)))];
  const titles = [
    "batch",
    "serial",
    "tested_at",
    "verdict",
    "wrong",
    ...pins.map((pin) => `ohms_${pin}`),
    "ohms_ground",
  ];
  const rows = ordered.map((saved) => {
    const { record, summary } = saved;
    const wrong = record.findings.circuits
      .filter(({ verdict }) => verdict !== "pass" && verdict !== "not-judged")
      .map(({ pin, verdict }) => `${pin} ${verdict}`);
    return [
      record.batch,
      summary.serial,
      summary.testedAt,
      summary.verdict,
      wrong.join(" "),
      ...pins.map((pin) => conductorOhms(record, pin)?.value),
      measuredGroundOhms(saved)?.value,
    ];
  });
  return csvFile(titles, rows);
}
