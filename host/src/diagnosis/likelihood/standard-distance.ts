import { fitMarginal, type PredictedBlock } from "./marginal-fit.js";
import type { Observation } from "./observation.js";
import { noiseLaws } from "./robust-loss.js";

/**
 * How far two predictions of the same readings lie apart, in standard deviations of the bench's noise and the parts'
 * scatter together (Mahalanobis distance): the difference is fitted with scatter, and what is left counts.
 */
export function standardDistance(
  pairs: readonly { readonly prediction: PredictedBlock; readonly other: PredictedBlock }[],
  scatteredCount: number,
): number {
  const blocks = pairs.map(({ prediction, other }) => ({
    ...prediction,
    observations: prediction.observations.map(
      (observation, row): Observation => ({ ...observation, value: other.values[row] ?? 0 }),
    ),
  }));
  return Math.sqrt(2 * Math.max(0, fitMarginal(blocks, scatteredCount, noiseLaws.plain).loss));
}
