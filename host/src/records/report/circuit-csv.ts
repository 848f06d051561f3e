import type { SavedRecord } from "../store/saved-record.js";
import { csvFile } from "./csv-cell.js";

const titles = [
  "record",
  "signer",
  "hash",
  "tested_at",
  "kind",
  "serial",
  "description",
  "customer",
  "batch",
  "plan",
  "bench",
  "overall",
  "pin",
  "function",
  "expected_amps",
  "expected_low_amps",
  "expected_high_amps",
  "measured_amps",
  "uncertainty_amps",
  "pin_volts",
  "far_volts",
  "verdict",
  "reason",
];

function rowsOf({ record, hash }: SavedRecord) {
  const { subject, readings, plan, findings } = record;
  return findings.circuits.map((circuit) => {
    const far = plan.kind === "cable" ? plan.conductors.find(({ near }) => near === circuit.pin)?.far : undefined;
    const drive = readings.drives?.find(({ pin }) => pin === circuit.pin);
    return [
      record.number,
      record.signer,
      hash,
      readings.takenAt,
      subject.kind,
      subject.serial,
      subject.description,
      record.customer,
      record.batch,
      plan.name,
      readings.tester.id,
      findings.overall,
      circuit.pin,
      circuit.function,
      circuit.expected?.amps,
      circuit.expected?.low,
      circuit.expected?.high,
      circuit.measured?.amps,
      circuit.measured?.uncertainty,
      circuit.measured?.volts,
      far === undefined ? undefined : drive?.farVolts?.[far],
      circuit.verdict,
      circuit.reason,
    ];
  });
}

/** One line a circuit of each record, for a spreadsheet. Amps and volts as plain numbers. */
export function circuitCsv(records: readonly SavedRecord[]): string {
  return csvFile(titles, records.flatMap(rowsOf));
}
