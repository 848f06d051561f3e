import type { WeighedExplanation } from "./explain.js";
import { tripChance } from "./likelihood/score-walk.js";
import { standardDistance } from "./likelihood/standard-distance.js";
import type { PredictedWalk } from "./simulation/predicted-walk.js";
import type { PredictionBook } from "./simulation/prediction-book.js";

/** Explanations that no reading of this bench can tell apart. */
export interface ExplanationGroup {
  readonly members: readonly WeighedExplanation[];
  readonly probability: number;
}

/**
 * Two explanations whose predicted readings lie closer than this cannot be told apart: in standard deviations of noise and
 * scatter together. At 2 even the best test between the two is wrong one time in six.
 */
const tellingDistance = 2;

/** Sorts explanations into groups around their likeliest members, by comparing what they predict; likeliest group first. */
export function groupExplanations(
  explanations: readonly WeighedExplanation[],
  book: PredictionBook,
): ExplanationGroup[] {
  const groups: { leader: WeighedExplanation; members: WeighedExplanation[] }[] = [];
  for (const explanation of explanations) {
    const home = groups.find(({ leader }) => !canTellApart(leader.walk, explanation.walk, book));
    if (home === undefined) groups.push({ leader: explanation, members: [explanation] });
    else home.members.push(explanation);
  }
  return groups
    .map(({ members }) => ({ members, probability: members.reduce((sum, { probability }) => sum + probability, 0) }))
    .sort((a, b) => b.probability - a.probability);
}

/** Whether some reading of the walk differs by more than noise and scatter between two predictions. */
export function canTellApart(first: PredictedWalk, second: PredictedWalk, book: PredictionBook): boolean {
  const { tripAmps } = book.conditions.source;
  let doubts = 0;
  const blocks = first.predictions.flatMap((prediction, at) => {
    const other = second.predictions[at];
    if (other === undefined || other === prediction) return [];
    const { block } = prediction;
    if (block.tripped !== undefined) {
      const chance = Math.abs(tripChance(prediction.fedAmps, tripAmps) - tripChance(other.fedAmps, tripAmps));
      if (chance > 0.9) doubts += 100;
    }
    doubts += (prediction.logSeenChance - other.logSeenChance) ** 2;
    return [{ prediction, other }];
  });
  if (doubts >= tellingDistance ** 2) return true;
  return Math.hypot(standardDistance(blocks, book.scatter.count), Math.sqrt(doubts)) >= tellingDistance;
}
