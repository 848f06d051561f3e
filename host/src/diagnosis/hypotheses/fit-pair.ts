import type { PredictedWalk } from "../simulation/predicted-walk.js";
import { estimateSize } from "./estimate-size.js";
import type { Bench, Hypothesis } from "./hypothesis.js";
import { guidedScore, scoreOf } from "./score-hypothesis.js";

/** Two faults together, their sizes fitted in each other's presence. */
export interface PairFit {
  readonly walk: PredictedWalk;
  readonly logLikelihood: number;
}

/** What a pair must reach to be worth solving, and what it may gain on the sum of its blocks (`sharedGain`). */
export interface PairFloor {
  readonly floor: number;
  readonly shared: number;
}

/**
 * Predicts and scores two faults together. A size that was found for a fault alone holds where the two move different
 * readings; where they meet, it is found again. Undefined when the pair cannot reach the floor.
 */
export function fitPair(first: Hypothesis, second: Hypothesis, bench: Bench, floor: PairFloor): PairFit | undefined {
  const { book, bounds } = bench;
  const meeting = bounds.meet(first.walk, second.walk);
  if (meeting && second.sizing !== undefined) return fitSizeBeside(first, second, bench, floor);
  if (meeting && first.sizing !== undefined) {
    const fit = fitSizeBeside(second, first, bench, floor);
    return fit && { ...fit, walk: book.turned(fit.walk) };
  }
  const walk = book.pair(first.walk, second.walk);
  if (!bounds.mayReach(first.walk, second.walk, [walk], floor)) return undefined;
  return { walk, logLikelihood: scoreOf(walk, book) + sizeCost(first, bench) + sizeCost(second, bench) };
}

/** What integrating over its size cost a single fault, against its best size: the same share is charged in a pair. */
function sizeCost(hypothesis: Hypothesis, { book }: Bench): number {
  if (hypothesis.sizing === undefined || !Number.isFinite(hypothesis.logLikelihood)) return 0;
  return Math.min(0, hypothesis.logLikelihood - scoreOf(hypothesis.walk, book));
}

/** Sizes to try beside another fault, as shares of what was found for the fault alone. */
const triedShares = [0.5, 1, 2];

function fitSizeBeside(fixed: Hypothesis, sized: Hypothesis, bench: Bench, floor: PairFloor): PairFit | undefined {
  const { book, bounds } = bench;
  const { sizing } = sized;
  if (sizing === undefined) return undefined;
  const near = triedShares.map((share) => sizing.found + Math.log(share));
  const far = sizing.branches.flat();
  const tried = [...new Set([Math.min(...near, ...far), ...near, Math.max(...near, ...far)])].sort((a, b) => a - b);
  const walks = new Map(tried.map((size) => [size, book.pair(fixed.walk, sizing.at(size).walk)]));
  if (!bounds.mayReach(fixed.walk, sized.walk, [...walks.values()], floor)) return undefined;
  const blocks = [...book.blocks.keys()].filter((block) => fixed.walk.movedAt(block) || sized.walk.movedAt(block));
  const scoreAt = (walk: PredictedWalk): { logLikelihood: number; guide: number } =>
    guidedScore(
      blocks.map((block) => walk.at(block)),
      book,
    );
  const fit = estimateSize(sizing.prior, [tried], scoreAt(fixed.walk).guide, (size) => {
    const walk = walks.get(size) ?? book.pair(fixed.walk, sizing.at(size).walk);
    return { walk, ...scoreAt(walk), hopeless: false, declines: false };
  });
  const rest = scoreOf(fit.result.walk, book) - fit.result.logLikelihood;
  return { walk: fit.result.walk, logLikelihood: fit.logEvidence + rest + sizeCost(fixed, bench) };
}
