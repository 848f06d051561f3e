import { hopelessDeficit } from "../likelihood/block-scores.js";
import { noiseLaws } from "../likelihood/robust-loss.js";
import { scoreWalk } from "../likelihood/score-walk.js";
import type { BlockPrediction } from "../simulation/predict-block.js";
import type { PredictedWalk } from "../simulation/predicted-walk.js";
import type { PredictionBook } from "../simulation/prediction-book.js";
import type { SizedFit, SizeScore } from "./estimate-size.js";
import type { Bench, FaultWalk, FittedFault } from "./hypothesis.js";

/** Log likelihood of all readings under a prediction. */
export function scoreOf(walk: PredictedWalk, book: PredictionBook): number {
  return scoreWalk(walk.predictions, book.scatter.count, book.conditions.source.tripAmps).logLikelihood;
}

/** The same, or minus infinity as soon as the readings contradict what the fault moves. */
export function scoreOrHopeless(walk: PredictedWalk, { book, scores }: Bench): number {
  return scores.isHopeless(walk) ? Number.NEGATIVE_INFINITY : scoreOf(walk, book);
}

/** Log likelihood of some blocks, and the same by the guide of the size search. */
export function guidedScore(
  predictions: readonly BlockPrediction[],
  { scatter: { count }, conditions }: PredictionBook,
): { logLikelihood: number; guide: number } {
  const { tripAmps } = conditions.source;
  const { logLikelihood } = scoreWalk(predictions, count, tripAmps);
  return { logLikelihood, guide: scoreWalk(predictions, count, tripAmps, noiseLaws.guiding).logLikelihood };
}

/** The blocks by which sizes are compared, always the same ones, and how well they fit if nothing is wrong. */
export interface Reach {
  readonly blocks: readonly number[];
  readonly without: number;
}

/** What a fault reaches at its strongest. */
export function reachOf(strongest: PredictedWalk, { book, scores }: Bench): Reach {
  const blocks = strongest.lazy.order.filter((block) => scores.movesMuch(strongest, block));
  const healthy = blocks.map((block) => book.healthyAt(block));
  return { blocks, without: guidedScore(healthy, book).guide };
}

/** The readings that a fault reaches, by themselves: enough to find its size. */
export function sizeScore(walk: PredictedWalk, reach: Reach, { book, scores }: Bench): SizeScore {
  const { blocks, without } = reach;
  // Where no fault at all fits well, a worse fit at one size says that a stronger one fits worse still.
  const declines = scores.healthyFits(walk);
  if (declines && scores.isHopeless(walk)) {
    return { logLikelihood: without - hopelessDeficit, guide: without - hopelessDeficit, hopeless: true, declines };
  }
  const predictions = blocks.map((block) => walk.at(block));
  return { ...guidedScore(predictions, book), hopeless: false, declines };
}

/** All readings at the best size, less what integrating over the size costs. */
export function sizedFault({ result, logEvidence }: SizedFit<FaultWalk & SizeScore>, { book }: Bench): FittedFault {
  const { concrete, walk, logLikelihood, hopeless } = result;
  if (hopeless) return { concrete, walk, logLikelihood: Number.NEGATIVE_INFINITY };
  return { concrete, walk, logLikelihood: scoreOf(walk, book) + logEvidence - logLikelihood };
}
