import { type CircuitPoint, circuitPoint } from "../compare/circuit-points.js";
import { measuredGroundOhms } from "../compare/ground-ohms.js";
import { functionName } from "../report/circuit-words.js";
import type { SavedRecord } from "../store/saved-record.js";
import { type Capability, capabilityOf, type Limits } from "./capability.js";
import { isOutlier, modifiedScores, type Spread, spreadOf } from "./spread.js";

/** A cable whose value stands apart from the others of its batch. */
export interface Outlier {
  readonly serial: string;
  readonly hash: string;
  readonly value: number;
  readonly score: number;
}

/** One quantity of one circuit over the batch. */
export interface BatchQuantity {
  readonly pin: string;
  readonly circuit: string;
  readonly quantity: "current" | "resistance";
  readonly unit: "A" | "Ω";
  readonly values: readonly { readonly serial: string; readonly hash: string; readonly value: number }[];
  readonly spread: Spread;
  /** Half-width of what the bench can say of one value (k = 2). */
  readonly uncertainty: number;
  readonly limits: Limits;
  readonly capability: Capability | null;
  readonly outliers: readonly Outlier[];
}

/** What is known of a batch. Of a serial number that was tested more than once, the newest test counts. */
export interface BatchReport {
  readonly batch: string;
  readonly tested: number;
  readonly passed: number;
  readonly failed: readonly { readonly serial: string; readonly hash: string; readonly verdict: "fail" | "unsure" }[];
  readonly retested: number;
  readonly quantities: readonly BatchQuantity[];
  readonly remarks: readonly string[];
}

export interface BatchOptions {
  /** Largest resistance that a conductor may have, ohms; without it resistances are spread and outliers alone. */
  readonly mostOhms?: number;
}

/** The newest standing record of each serial number, in order of testing. */
function newestOfEach(all: readonly SavedRecord[]): readonly SavedRecord[] {
  const bySerial = new Map<string, SavedRecord>();
  const standing = all.filter(({ summary }) => summary.correctedBy === null);
  for (const saved of [...standing].sort((a, b) => a.summary.testedAt.localeCompare(b.summary.testedAt)))
    bySerial.set(saved.summary.serial, saved);
  return [...bySerial.values()];
}

interface Sample {
  readonly saved: SavedRecord;
  readonly value: number;
  readonly uncertainty: number;
}

function quantityOf(
  head: Pick<BatchQuantity, "pin" | "circuit" | "quantity" | "unit">,
  samples: readonly Sample[],
  limits: Limits,
): BatchQuantity | undefined {
  const values = samples.map(({ value }) => value);
  const spread = spreadOf(values);
  if (!spread) return undefined;
  const uncertainty = Math.max(...samples.map((sample) => sample.uncertainty));
  // A quarter of the uncertainty keeps the last digit of the bench from making outliers of equal cables.
  const scores = modifiedScores(values, uncertainty / 4);
  const outliers = samples.flatMap(({ saved, value }, index) => {
    const score = scores[index] ?? 0;
    return isOutlier(score) ? [{ serial: saved.summary.serial, hash: saved.hash, value, score }] : [];
  });
  const named = samples.map(({ saved, value }) => ({ serial: saved.summary.serial, hash: saved.hash, value }));
  return { ...head, values: named, spread, uncertainty, limits, capability: capabilityOf(spread, limits), outliers };
}

/** The expected band, if all records have the same: another supply makes another band, and capability against two means nothing. */
function commonBand(records: readonly SavedRecord[], pin: string): Limits {
  const bands = records.flatMap(
    ({ record }) => record.findings.circuits.find((one) => one.pin === pin)?.expected ?? [],
  );
  const [first] = bands;
  if (!first) return {};
  const near = (a: number, b: number): boolean => Math.abs(a - b) <= 0.02 * first.amps;
  return bands.every(({ low, high }) => near(low, first.low) && near(high, first.high))
    ? { low: first.low, high: first.high }
    : {};
}

/** Judges a batch of cables (or alike vehicles): spread of each quantity, who stands apart, capability against limits. */
export function batchReport(batch: string, all: readonly SavedRecord[], options: BatchOptions = {}): BatchReport {
  const records = newestOfEach(all);
  const names = new Map(
    records.flatMap(({ record }) => record.findings.circuits.map((one) => [one.pin, one.function] as const)),
  );
  const quantities: BatchQuantity[] = [];
  const add = (quantity: BatchQuantity | undefined): void => {
    if (quantity) quantities.push(quantity);
  };
  for (const [pin, name] of names) {
    const points = records.flatMap((saved) => {
      const point = circuitPoint(saved, pin);
      return point ? [{ saved, point }] : [];
    });
    const samples = (pick: (point: CircuitPoint) => CircuitPoint["amps"] | null): readonly Sample[] =>
      points.flatMap(({ saved, point }) => {
        const figure = pick(point);
        return figure ? [{ saved, ...figure }] : [];
      });
    const head = { pin, circuit: functionName(name) };
    add(
      quantityOf(
        { ...head, quantity: "current", unit: "A" },
        samples((point) => point.amps),
        commonBand(records, pin),
      ),
    );
    const most = options.mostOhms === undefined ? {} : { high: options.mostOhms };
    add(
      quantityOf(
        { ...head, quantity: "resistance", unit: "Ω" },
        samples((point) => point.conductorOhms),
        most,
      ),
    );
  }
  const ground = records.flatMap((saved) => {
    const ohms = measuredGroundOhms(saved);
    return ohms ? [{ saved, ...ohms }] : [];
  });
  const most = options.mostOhms === undefined ? {} : { high: options.mostOhms };
  add(quantityOf({ pin: "ground", circuit: "Ground path", quantity: "resistance", unit: "Ω" }, ground, most));
  return {
    batch,
    tested: records.length,
    passed: records.filter(({ summary }) => summary.verdict === "pass").length,
    failed: records.flatMap(({ summary, hash }) =>
      summary.verdict === "pass" ? [] : [{ serial: summary.serial, hash, verdict: summary.verdict }],
    ),
    retested: all.length - records.length,
    quantities,
    remarks: remarksOf(records, quantities),
  };
}

function remarksOf(records: readonly SavedRecord[], quantities: readonly BatchQuantity[]): readonly string[] {
  const remarks: string[] = [];
  const plans = new Set(records.map(({ record }) => JSON.stringify(record.plan)));
  if (plans.size > 1) remarks.push("Not all were tested against the same plan.");
  if (records.length < 30)
    remarks.push(`${records.length} pieces say little of a process: see the range of each Cpk, not its value alone.`);
  if (quantities.some(({ spread, uncertainty }) => spread.count > 1 && spread.deviation < uncertainty / 2))
    remarks.push(
      "Where the spread is smaller than the bench's own uncertainty, Cpk is what bench and cables make together.",
    );
  return remarks;
}
