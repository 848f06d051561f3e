import { functionName } from "../report/circuit-words.js";
import type { SavedRecord } from "../store/saved-record.js";
import { type CircuitPoint, circuitPoint, sameCalibration } from "./circuit-points.js";
import { type GroundPath, gainsByPin, groundPath, shareRatio } from "./ground-path.js";
import { isSignificant, type MeasuredValue } from "./measured-value.js";
import { trendPerYear } from "./trend.js";

/** A record as it stands in a comparison. */
export interface ComparedRecord {
  readonly hash: string;
  readonly number: number;
  readonly signer: string;
  readonly own: boolean;
  readonly testedAt: string;
  readonly verdict: "pass" | "fail" | "unsure";
  readonly planName: string;
  readonly bench: string;
}

/** One circuit over time. */
export interface CircuitDrift {
  readonly pin: string;
  readonly function: string;
  /** Oldest first: what a chart draws. */
  readonly points: readonly CircuitPoint[];
  /** Change of the current from the first to the last record, the days' supply taken out, in percent (k = 2). */
  readonly changePercent: MeasuredValue | null;
  /** Change per year by a straight line through all records, percent of the expected current; null for fewer than three. */
  readonly percentPerYear: MeasuredValue | null;
  /** Install: ohms gained anywhere on the circuit's path, the lamps being the same. Cable: change of the conductor's resistance. */
  readonly gainedOhms: MeasuredValue | null;
  readonly significant: boolean;
  readonly text: string;
}

/** Everything that a page or a table about drift shows. `statements` are sentences, the weightiest first. */
export interface Comparison {
  readonly serial: string;
  readonly records: readonly ComparedRecord[];
  /** Records that a later one put right and that were left out. */
  readonly leftOut: number;
  readonly circuits: readonly CircuitDrift[];
  readonly ground: GroundPath;
  readonly statements: readonly string[];
  readonly cautions: readonly string[];
}

const ohmsText = ({ value, uncertainty }: MeasuredValue): string =>
  `${value.toFixed(2)} Ω ± ${Math.max(0.01, uncertainty).toFixed(2)} Ω`;

function conductorChange(
  first: SavedRecord,
  last: SavedRecord,
  a: CircuitPoint,
  b: CircuitPoint,
): MeasuredValue | null {
  if (!a.conductorOhms || !b.conductorOhms) return null;
  const value = b.conductorOhms.value - a.conductorOhms.value;
  if (!sameCalibration(first, last))
    return { value, uncertainty: Math.hypot(a.conductorOhms.uncertainty, b.conductorOhms.uncertainty) };
  // One bench: the gains of its two inputs err alike both times at nearly the same voltage; four fixed parts remain.
  const drop = ({ record }: SavedRecord, amps: number) =>
    (Math.SQRT2 * record.readings.tester.uncertainty.volts.offset) / amps;
  return { value, uncertainty: Math.hypot(drop(first, a.amps.value), drop(last, b.amps.value)) };
}

function driftText(
  pin: string,
  name: string,
  percent: MeasuredValue | null,
  ohms: MeasuredValue | null,
  significant: boolean,
): string {
  const what = `${pin}, ${functionName(name)}`;
  if (!percent) return `${what}: cannot be compared; it was not driven in both, or there is no expectation.`;
  const share = `${percent.value >= 0 ? "+" : "−"}${Math.abs(percent.value).toFixed(1)} % ± ${percent.uncertainty.toFixed(1)} %`;
  if (!significant) return `${what}: unchanged within what the bench can tell (${share}).`;
  const gained =
    ohms && isSignificant(ohms)
      ? `; its path has ${ohms.value >= 0 ? "gained" : "lost"} ${ohmsText({ ...ohms, value: Math.abs(ohms.value) })}`
      : "";
  return `${what}: current changed by ${share}${gained}.`;
}

function driftOf(
  pin: string,
  name: string,
  records: readonly SavedRecord[],
  gains: ReadonlyMap<string, MeasuredValue>,
): CircuitDrift {
  const withPoint = records.flatMap((saved) => {
    const point = circuitPoint(saved, pin);
    return point ? [{ saved, point }] : [];
  });
  const points = withPoint.map(({ point }) => point);
  const [first, last] = [withPoint[0], withPoint.at(-1)];
  const ratio = first && last && first !== last ? shareRatio(first.saved, last.saved, pin) : undefined;
  const changePercent = ratio ? { value: (ratio.value - 1) * 100, uncertainty: ratio.uncertainty * 100 } : null;
  const ohms =
    first && last && first !== last
      ? (conductorChange(first.saved, last.saved, first.point, last.point) ?? gains.get(pin) ?? null)
      : null;
  const shares = points.flatMap(({ testedAt, share }) =>
    share ? [{ testedAt, figure: { value: share.value * 100, uncertainty: share.uncertainty * 100 } }] : [],
  );
  const significant =
    (changePercent !== null && isSignificant(changePercent)) || (ohms !== null && isSignificant(ohms));
  return {
    pin,
    function: name,
    points,
    changePercent,
    percentPerYear: trendPerYear(shares) ?? null,
    gainedOhms: ohms,
    significant,
    text: driftText(pin, name, changePercent, ohms, significant),
  };
}

function statementsOf(ground: GroundPath, circuits: readonly CircuitDrift[], since: string): readonly string[] {
  const statements: string[] = [];
  if (ground.gained && ground.significant) {
    const verb = ground.gained.value >= 0 ? "gained" : "lost";
    const amount = ohmsText({ ...ground.gained, value: Math.abs(ground.gained.value) });
    statements.push(`The ground path has ${verb} ${amount} since ${since}. ${ground.why}`);
  } else if (ground.gained) {
    statements.push(
      `The ground path is unchanged within what the bench can tell since ${since} (${ohmsText(ground.gained)}).`,
    );
  } else statements.push(`Whether the ground path has changed cannot be said. ${ground.why}`);
  return [...statements, ...circuits.filter(({ significant }) => significant).map(({ text }) => text)];
}

function cautionsOf(first: SavedRecord, last: SavedRecord): readonly string[] {
  const cautions: string[] = [];
  if (JSON.stringify(first.record.plan) !== JSON.stringify(last.record.plan))
    cautions.push("The plan is not the same in all records: lamps or wires may have been changed on purpose.");
  if (!sameCalibration(first, last))
    cautions.push("Different benches or calibrations were used: the uncertainty of both counts in full.");
  if (first.record.plan.kind === "install")
    cautions.push("A lamp that was replaced, or has aged, changes a circuit's current too.");
  return cautions;
}

/**
 * Compares the records of one vehicle or cable. Records that a later one put right are left out. The order
 * is that of testing. Needs at least one record.
 */
export function compareRecords(all: readonly SavedRecord[]): Comparison | undefined {
  const standing = all.filter(({ summary }) => summary.correctedBy === null);
  const records = [...standing].sort((a, b) => a.summary.testedAt.localeCompare(b.summary.testedAt));
  const [first, last] = [records[0], records.at(-1)];
  if (!first || !last) return undefined;
  const names = new Map(
    records.flatMap(({ record }) => record.findings.circuits.map((one) => [one.pin, one.function] as const)),
  );
  const gains = first === last ? new Map<string, MeasuredValue>() : gainsByPin(first, last);
  const circuits = [...names].map(([pin, name]) => driftOf(pin, name, records, gains));
  const ground = groundPath(records);
  return {
    serial: last.record.subject.serial,
    records: records.map(({ summary, hash }) => ({
      hash,
      number: summary.number,
      signer: summary.signer,
      own: summary.own,
      testedAt: summary.testedAt,
      verdict: summary.verdict,
      planName: summary.planName,
      bench: summary.bench,
    })),
    leftOut: all.length - standing.length,
    circuits,
    ground,
    statements:
      first === last
        ? ["There is one record only; nothing to compare yet."]
        : statementsOf(ground, circuits, first.summary.testedAt.slice(0, 10)),
    cautions: first === last ? [] : cautionsOf(first, last),
  };
}
