import type { WeighedExplanation } from "../explain.js";
import type { CircuitVerdict } from "../findings.js";
import { tripChance } from "../likelihood/score-walk.js";
import { standardDistance } from "../likelihood/standard-distance.js";
import type { BlockPrediction } from "../simulation/predict-block.js";
import type { PredictedWalk } from "../simulation/predicted-walk.js";
import type { PredictionBook } from "../simulation/prediction-book.js";

/** A circuit is touched when its readings are predicted this far from healthy, standard deviations. */
const touchedDistance = 2.5;

/** What one explanation does to one circuit: the verdict, and which of its faults does it; undefined where it does nothing. */
export function verdictByExplanation(
  explanation: WeighedExplanation,
  pin: string,
  book: PredictionBook,
): { verdict: CircuitVerdict; fault: number } | undefined {
  let strongest: { verdict: CircuitVerdict; fault: number; distance: number } | undefined;
  explanation.alone.forEach((walk, at) => {
    const fault = explanation.faults[at]?.fault;
    const distance = distanceAt(walk, pin, book);
    const named = fault !== undefined && jointOf(fault.kind) && pinsOf(fault.at).includes(pin);
    if (fault === undefined || (distance < touchedDistance && !named)) return;
    const verdict = verdictOf(fault.kind, fault.at, pin, walk, book);
    if (strongest === undefined || distance > strongest.distance) strongest = { verdict, fault: at, distance };
  });
  return strongest;
}

function jointOf(kind: string): boolean {
  return kind === "swap" || kind === "short-to-power";
}

/** The pins that a place names: `pin:LT+pin:TM` → LT, TM. */
function pinsOf(at: string): string[] {
  return at
    .split("+")
    .flatMap((place) => (/^(pin|wire|far):/.test(place) ? [place.slice(place.indexOf(":") + 1)] : []));
}

/** How far this pin's own readings are moved: while it is fed, at rest, and while the vehicle feeds. */
function distanceAt(walk: PredictedWalk, pin: string, book: PredictionBook): number {
  let far = 0;
  const pairs = walk.predictions.flatMap((prediction, at) => {
    const healthy = book.healthy.predictions[at];
    if (healthy === undefined || healthy === prediction) return [];
    const { feeding } = prediction.block;
    if ("pin" in feeding) {
      if (feeding.pin !== pin) return [];
      const { tripAmps } = book.conditions.source;
      if (Math.abs(tripChance(prediction.fedAmps, tripAmps) - tripChance(healthy.fedAmps, tripAmps)) > 0.5) far = 100;
    }
    const rows = prediction.observations.flatMap(({ pin: read, kind }, row) =>
      read === pin || kind.endsWith("-far") ? [row] : [],
    );
    return rows.length === 0 ? [] : [{ prediction: only(prediction, rows), other: only(healthy, rows) }];
  });
  return Math.max(far, standardDistance(pairs, book.scatter.count));
}

function only(prediction: BlockPrediction, rows: readonly number[]): BlockPrediction {
  const width = prediction.scattered.length;
  return {
    ...prediction,
    observations: rows.flatMap((row) => prediction.observations[row] ?? []),
    values: Float64Array.from(rows, (row) => prediction.values[row] ?? 0),
    extraVariance: Float64Array.from(rows, (row) => prediction.extraVariance[row] ?? 0),
    slopes: Float64Array.from(rows.flatMap((row) => [...prediction.slopes.subarray(row * width, (row + 1) * width)])),
  };
}

function verdictOf(kind: string, at: string, pin: string, walk: PredictedWalk, book: PredictionBook): CircuitVerdict {
  const { before, after, trips } = driveOf(walk, pin, book);
  const byAmps: CircuitVerdict = after > before ? "high-current" : "low-current";
  switch (kind) {
    case "open":
    case "high-resistance":
      if (after > 0.1 * before) return "low-current";
      return isGround(at, book) ? "no-ground" : "open";
    case "short-to-ground":
      return trips || after > before ? "short-to-ground" : byAmps;
    case "short-to-power":
      return "short-to-power";
    case "bridge":
      return "bridged";
    case "swap":
      return "swapped";
    case "diode-shorted":
      return "not-isolated";
    case "diode-reversed":
      return after < 0.1 * before ? "open" : "not-isolated";
    case "factory-diode-shorted":
      return after > 1.05 * before ? "high-current" : "not-isolated";
    default:
      return byAmps;
  }
}

function isGround(at: string, book: PredictionBook): boolean {
  const { groundPin } = book.healthyVehicle.built;
  return (
    at === "ground-bond" || at.startsWith("socket-ground:") || at === `pin:${groundPin}` || at === `wire:${groundPin}`
  );
}

/** Current into a pin with and without the fault; from the low-current check where it was not driven. */
function driveOf(
  walk: PredictedWalk,
  pin: string,
  book: PredictionBook,
): { before: number; after: number; trips: boolean } {
  const at = walk.predictions.findIndex(({ block }) => block.feeding.kind === "drive" && block.feeding.pin === pin);
  const low = walk.predictions.findIndex(({ block }) => block.feeding.kind === "low" && block.feeding.pin === pin);
  const index = at >= 0 ? at : low;
  const before = book.healthy.predictions[index]?.fedAmps ?? 0;
  const after = walk.predictions[index]?.fedAmps ?? 0;
  return { before, after, trips: after > book.conditions.source.tripAmps };
}
