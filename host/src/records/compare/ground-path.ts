import type { SavedRecord } from "../store/saved-record.js";
import { type CircuitPoint, circuitPoint, sameCalibration } from "./circuit-points.js";
import { currentFalls, gainedOhms } from "./gained-ohms.js";
import { measuredGroundOhms } from "./ground-ohms.js";
import { changeBetween, isSignificant, type MeasuredValue, weightedMean } from "./measured-value.js";

/** How the ground path has changed. Ohms, uncertainties k = 2. */
export interface GroundPath {
  /**
   * `measured`: a voltage showed it, `points` are its resistance. `estimated`: from the fall of all currents together,
   * `points` are ohms gained since the first record. `not-derivable`: these readings cannot tell; `why` says so.
   */
  readonly method: "measured" | "estimated" | "not-derivable";
  readonly why: string;
  readonly points: readonly { readonly hash: string; readonly testedAt: string; readonly ohms: MeasuredValue }[];
  readonly gained: MeasuredValue | null;
  readonly significant: boolean;
}

/** By how much one healthy lamp's current may differ from day to day at the same voltage (k = 2; an assumption, no source). */
const lampRepeatability = 0.005;

/** How a circuit's share of its healthy current changed from one record to another. */
export function shareRatio(first: SavedRecord, last: SavedRecord, pin: string): MeasuredValue | undefined {
  const [a, b] = [circuitPoint(first, pin), circuitPoint(last, pin)];
  if (!a?.share || !b?.share || a.expectedAmps === null || b.expectedAmps === null || a.share.value < 0.05)
    return undefined;
  const doubt = (saved: SavedRecord, expected: number) => {
    const { amps } = saved.record.readings.tester.uncertainty;
    return { relative: amps.relative, offset: amps.offset / expected };
  };
  const same = sameCalibration(first, last);
  const change = changeBetween(
    a.share.value,
    b.share.value,
    doubt(first, a.expectedAmps),
    doubt(last, b.expectedAmps),
    same,
  );
  const supply = same ? 0 : supplyDoubt(first, last);
  const lamps = first.record.plan.kind === "install" ? lampRepeatability : 0;
  return {
    value: b.share.value / a.share.value,
    uncertainty: Math.hypot(change.uncertainty, supply, lamps) / a.share.value,
  };
}

/** What two benches' readings of their supply leave open of the expectation: current goes at most in proportion to voltage. */
function supplyDoubt(first: SavedRecord, last: SavedRecord): number {
  const relative = ({ record }: SavedRecord): number => {
    const { volts } = record.readings.tester.uncertainty;
    return volts.relative + volts.offset / Math.max(1, record.readings.source.volts);
  };
  return Math.hypot(relative(first), relative(last));
}

function healthyIn(points: readonly (CircuitPoint | undefined)[]): boolean {
  return points.every((point) => point && ["pass", "low-current", "high-current"].includes(point.verdict));
}

/** Ohms gained on each circuit's whole path between two records, the lamps being the same. */
export function gainsByPin(first: SavedRecord, last: SavedRecord): ReadonlyMap<string, MeasuredValue> {
  const gains = new Map<string, MeasuredValue>();
  const { plan, readings } = first.record;
  if (plan.kind !== "install" || last.record.plan.kind !== "install") return gains;
  const falls = currentFalls(plan, readings);
  for (const { pin } of plan.circuits) {
    const share = shareRatio(first, last, pin);
    const fall = falls?.get(pin);
    if (!share || !fall || !healthyIn([circuitPoint(first, pin), circuitPoint(last, pin)])) continue;
    const gain = gainedOhms(fall, share);
    if (gain) gains.set(pin, gain);
  }
  return gains;
}

function measuredPath(records: readonly SavedRecord[]): GroundPath | undefined {
  const points = records.flatMap((saved) => {
    const ohms = measuredGroundOhms(saved);
    return ohms ? [{ hash: saved.hash, testedAt: saved.summary.testedAt, ohms }] : [];
  });
  const [first, last] = [points[0], points.at(-1)];
  if (!first || !last || points.length < 2) return undefined;
  const gained = {
    value: last.ohms.value - first.ohms.value,
    uncertainty: Math.hypot(first.ohms.uncertainty, last.ohms.uncertainty),
  };
  const why = "Measured: the voltage that the returning current leaves on the ground path.";
  return { method: "measured", why, points, gained, significant: isSignificant(gained) };
}

const notDerivable = (why: string): GroundPath => ({
  method: "not-derivable",
  why,
  points: [],
  gained: null,
  significant: false,
});

/**
 * How the ground path of one vehicle or cable has changed over its records, the oldest first. Where diodes hide the
 * chassis' voltage, ohms gained in the path that all circuits share show as the same gain on each of them; where the gains
 * do not agree, or only one circuit can be compared, the readings cannot tell the ground from a circuit's own wire.
 */
export function groundPath(records: readonly SavedRecord[]): GroundPath {
  const measured = measuredPath(records);
  if (measured) return measured;
  const first = records[0];
  if (!first || records.length < 2) return notDerivable("One record alone cannot show a change.");
  if (first.record.plan.kind === "cable") return notDerivable("No record holds the voltage at the far ground contact.");
  let why = "Fewer than two circuits can be compared, so ground and a circuit's own wire cannot be told apart.";
  const points: { hash: string; testedAt: string; ohms: MeasuredValue }[] = [];
  for (const saved of records.slice(1)) {
    const gains = [...gainsByPin(first, saved).values()];
    if (gains.length < 2) continue;
    const mean = weightedMean(gains);
    if (mean.agree) points.push({ hash: saved.hash, testedAt: saved.summary.testedAt, ohms: mean });
    else why = "The circuits have changed by different amounts, so it is not the ground path alone: see each circuit.";
  }
  const last = points.at(-1);
  if (!last || last.hash !== records.at(-1)?.hash) return notDerivable(why);
  return {
    method: "estimated",
    why: "Estimated: every circuit's current fell as one resistance in their common path would make it, the lamps taken as the same.",
    points: points.map(({ hash, testedAt, ohms }) => ({
      hash,
      testedAt,
      ohms: { value: ohms.value, uncertainty: ohms.uncertainty },
    })),
    gained: { value: last.ohms.value, uncertainty: last.ohms.uncertainty },
    significant: isSignificant(last.ohms),
  };
}
