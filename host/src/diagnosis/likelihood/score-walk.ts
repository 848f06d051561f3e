import type { BlockPrediction } from "../simulation/predict-block.js";
import { fitMarginal, type MarginalFit } from "./marginal-fit.js";
import { type NoiseLaw, noiseLaws } from "./robust-loss.js";

/** Chance that a drive does the opposite of what its current says about the limit: a wild reading, as elsewhere. */
const wildChance = 1e-4;
/** The limit trips within this part of its setting, one standard deviation. */
const tripSpread = 0.06;

/** Log likelihood of everything that was read, scatter integrated out; `tripAmps` is the bench's slow limit. */
export function scoreWalk(
  predictions: readonly BlockPrediction[],
  scatteredCount: number,
  tripAmps: number,
  noise: NoiseLaw = noiseLaws.robust,
): MarginalFit {
  const fit = fitMarginal(predictions, scatteredCount, noise);
  let logLikelihood = fit.logLikelihood;
  for (const prediction of predictions) logLikelihood += logTripChance(prediction, tripAmps) + prediction.logSeenChance;
  return { ...fit, logLikelihood };
}

/** Log chance that the limit did what it did in this block. */
export function logTripChance(
  { block, fedAmps }: Pick<BlockPrediction, "block" | "fedAmps">,
  tripAmps: number,
): number {
  if (block.tripped === undefined) return 0;
  const chance = tripChance(fedAmps, tripAmps);
  return Math.log(block.tripped ? chance : 1 - chance);
}

/** Chance that a steady current trips the limit. `tripChance(2, 10)` is 0.0001. */
export function tripChance(amps: number, tripAmps: number): number {
  const steps = (amps / tripAmps - 1) / tripSpread;
  return wildChance + (1 - 2 * wildChance) / (1 + Math.exp(-1.7 * Math.max(-40, Math.min(40, steps))));
}
