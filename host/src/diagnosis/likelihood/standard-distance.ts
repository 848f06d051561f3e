import { fitMarginal, sigmaOf } from "./marginal-fit.js";
import type { PredictedBlock } from "./predicted-block.js";
import { noiseLaws } from "./robust-loss.js";

/**
 * How far two predictions of the same readings lie apart, in standard deviations of the bench's noise and the parts'
 * scatter together (Mahalanobis distance): the difference is fitted with scatter, and what is left counts.
 */
export function standardDistance(
  pairs: readonly { readonly prediction: PredictedBlock; readonly other: PredictedBlock }[],
  scatteredCount: number,
): number {
  const blocks = pairs.map(({ prediction, other }) => ({ ...prediction, measured: other.values }));
  return Math.sqrt(2 * Math.max(0, fitMarginal(blocks, scatteredCount, noiseLaws.plain).loss));
}

/** The same with no scatter fitted: never less, and found without solving anything. */
export function unfittedDistance(
  pairs: readonly { readonly prediction: PredictedBlock; readonly other: PredictedBlock }[],
): number {
  let squares = 0;
  for (const { prediction, other } of pairs) {
    for (let row = 0; row < prediction.values.length; row++) {
      const apart = (other.values[row] as number) - (prediction.values[row] as number);
      squares += (apart / sigmaOf(prediction, row)) ** 2;
    }
  }
  return Math.sqrt(squares);
}
