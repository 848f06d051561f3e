import { tripChance } from "./likelihood/score-walk.js";
import { standardDistance, unfittedDistance } from "./likelihood/standard-distance.js";
import type { BlockPrediction } from "./simulation/predict-block.js";
import type { PredictedWalk } from "./simulation/predicted-walk.js";
import type { PredictionBook } from "./simulation/prediction-book.js";

/**
 * Two explanations whose predicted readings lie closer than this cannot be told apart: in standard deviations of noise and
 * scatter together. At 2 even the best test between the two is wrong one time in six.
 */
const tellingDistance = 2;

/**
 * Whether some reading of the walk differs by more than noise and scatter between two predictions. Ends at the first blocks
 * that tell by themselves: the distance in all blocks is never less than in some.
 */
export function canTellApart(first: PredictedWalk, second: PredictedWalk, book: PredictionBook): boolean {
  let seen = 0;
  const pairs: Pair[] = [];
  for (const block of new Set([...first.lazy.order, ...second.lazy.order])) {
    const prediction = first.at(block);
    const other = second.at(block);
    if (prediction === other) continue;
    if (canTellBlockApart(prediction, other, book)) return true;
    seen += (prediction.logSeenChance - other.logSeenChance) ** 2;
    pairs.push({ prediction, other });
  }
  if (tells(pairs, book, seen)) return true;
  if (isNear(pairs, seen)) return false;
  // What is the same in both holds the scatter where it is: a lamp that reads as before in one drive cannot be weaker in another.
  const whole = first.lazy.moved.map((_, block) => ({ prediction: first.at(block), other: second.at(block) }));
  return tells(whole, book, seen);
}

/** Whether one way of feeding the network tells two predictions of it apart by itself. */
export function canTellBlockApart(prediction: BlockPrediction, other: BlockPrediction, book: PredictionBook): boolean {
  const { tripAmps } = book.conditions.source;
  if (prediction.block.tripped !== undefined) {
    const chance = tripChance(prediction.fedAmps, tripAmps) - tripChance(other.fedAmps, tripAmps);
    if (Math.abs(chance) > 0.9) return true;
  }
  return tells([{ prediction, other }], book, 0);
}

interface Pair {
  readonly prediction: BlockPrediction;
  readonly other: BlockPrediction;
}

/** Each of the two has a scatter of its own: one that scatters widely may have read like the other. */
function tells(pairs: readonly Pair[], book: PredictionBook, seen: number): boolean {
  const { count } = book.scatter;
  if (isNear(pairs, seen)) return false;
  if (Math.hypot(standardDistance(pairs, count), Math.sqrt(seen)) < tellingDistance) return false;
  const turned = pairs.map(({ prediction, other }) => ({ prediction: other, other: prediction }));
  return Math.hypot(standardDistance(turned, count), Math.sqrt(seen)) >= tellingDistance;
}

/** Nearer than that with no scatter fitted, which is never less. */
function isNear(pairs: readonly Pair[], seen: number): boolean {
  return Math.hypot(unfittedDistance(pairs), Math.sqrt(seen)) < tellingDistance;
}
