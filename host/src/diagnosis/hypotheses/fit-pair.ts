import type { PredictedWalk } from "../simulation/predicted-walk.js";
import { estimateSize } from "./estimate-size.js";
import { type Bench, type Hypothesis, scoreOf } from "./hypothesis.js";

/** Two faults together, their sizes fitted in each other's presence. */
export interface PairFit {
  readonly walk: PredictedWalk;
  readonly logLikelihood: number;
}

/**
 * Predicts and scores two faults together. A size that was found for a fault alone holds where the two move different
 * readings; where they meet, it is found again. Undefined when the pair contradicts the readings.
 */
export function fitPair(first: Hypothesis, second: Hypothesis, bench: Bench): PairFit | undefined {
  const { book, scores } = bench;
  const meeting = scores.meet(first.walk, second.walk);
  if (meeting && second.sizing !== undefined) return fitSizeBeside(first, second, bench);
  if (meeting && first.sizing !== undefined) {
    const fit = fitSizeBeside(second, first, bench);
    return fit && { ...fit, walk: book.turned(fit.walk) };
  }
  const walk = book.pair(first.walk, second.walk);
  if (scores.isHopeless(walk)) return undefined;
  return { walk, logLikelihood: scoreOf(walk, book) + sizeCost(first, bench) + sizeCost(second, bench) };
}

/** What integrating over its size cost a single fault, against its best size: the same share is charged in a pair. */
function sizeCost(hypothesis: Hypothesis, { book }: Bench): number {
  if (hypothesis.sizing === undefined || !Number.isFinite(hypothesis.logLikelihood)) return 0;
  return Math.min(0, hypothesis.logLikelihood - scoreOf(hypothesis.walk, book));
}

function fitSizeBeside(fixed: Hypothesis, sized: Hypothesis, bench: Bench): PairFit | undefined {
  const { book, scores } = bench;
  const { sizing } = sized;
  if (sizing === undefined) return undefined;
  const fit = estimateSize(sizing.prior, sizing.branches, fixed.logLikelihood, (size) => {
    const walk = book.pair(fixed.walk, sizing.at(size).walk);
    if (scores.isHopeless(walk)) return { walk, logLikelihood: -1e4, hopeless: false };
    return { walk, logLikelihood: scoreOf(walk, book), hopeless: false };
  });
  if (fit.result.logLikelihood <= -1e4) return undefined;
  return { walk: fit.result.walk, logLikelihood: fit.logEvidence + sizeCost(fixed, bench) };
}
