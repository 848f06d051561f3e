import type { CircuitVerdict } from "../../diagnosis/findings.js";
import type { PinwalkRecord } from "../record-schema.js";
import type { SavedRecord } from "../store/saved-record.js";
import type { MeasuredValue } from "./measured-value.js";

/** One circuit in one record: what a chart draws. Amps, volts, ohms, each with its own uncertainty (k = 2). */
export interface CircuitPoint {
  readonly hash: string;
  readonly testedAt: string;
  readonly verdict: CircuitVerdict;
  readonly amps: MeasuredValue;
  /** What a healthy circuit should have drawn from that day's supply, amps; null where the record does not say. */
  readonly expectedAmps: number | null;
  /** Measured against expected: takes the day's supply and temperature out. Null without an expectation. */
  readonly share: MeasuredValue | null;
  /** Cable: resistance from the near pin to the far pin. */
  readonly conductorOhms: MeasuredValue | null;
}

/** The current and volts below which a resistance is only noise. */
const leastAmps = 0.05;

/** Resistance of a conductor from the voltages at its two ends and its current, with the bench's uncertainty (k = 2). */
export function conductorOhms(record: Pick<PinwalkRecord, "plan" | "readings">, pin: string): MeasuredValue | null {
  if (record.plan.kind !== "cable") return null;
  const far = record.plan.conductors.find(({ near }) => near === pin)?.far;
  const drive = record.readings.drives?.find((one) => one.pin === pin);
  const nearVolts = drive?.volts[pin];
  const farVolts = far === undefined ? undefined : drive?.farVolts?.[far];
  if (!drive || drive.tripped || drive.amps < leastAmps || nearVolts === undefined || farVolts === undefined)
    return null;
  const { volts, amps } = record.readings.tester.uncertainty;
  const value = (nearVolts - farVolts) / drive.amps;
  const drop = Math.hypot(volts.relative * nearVolts + volts.offset, volts.relative * farVolts + volts.offset);
  const current = (amps.relative * drive.amps + amps.offset) / drive.amps;
  return { value, uncertainty: Math.hypot(drop / drive.amps, value * current) };
}

/** What a record says of one pin; undefined if it was not driven, or the drive was cut off. */
export function circuitPoint(saved: SavedRecord, pin: string): CircuitPoint | undefined {
  const { readings, findings } = saved.record;
  const drive = readings.drives?.find((one) => one.pin === pin);
  const finding = findings.circuits.find((one) => one.pin === pin);
  if (!drive || drive.tripped || !finding) return undefined;
  const { amps: doubt } = readings.tester.uncertainty;
  const amps = { value: drive.amps, uncertainty: doubt.relative * Math.abs(drive.amps) + doubt.offset };
  const expectedAmps = finding.expected && finding.expected.amps > 0 ? finding.expected.amps : null;
  return {
    hash: saved.hash,
    testedAt: saved.summary.testedAt,
    verdict: finding.verdict,
    amps,
    expectedAmps,
    share:
      expectedAmps === null ? null : { value: amps.value / expectedAmps, uncertainty: amps.uncertainty / expectedAmps },
    conductorOhms: conductorOhms(saved.record, pin),
  };
}

/** True if both were measured by one bench on one calibration, whose gain errors are then the same. */
export function sameCalibration(first: SavedRecord, last: SavedRecord): boolean {
  const [a, b] = [first.record.readings.tester, last.record.readings.tester];
  return a.id === b.id && a.calibratedAt !== undefined && a.calibratedAt === b.calibratedAt;
}
