import { fitMarginal, residualAt, sigmaOf } from "./likelihood/marginal-fit.js";
import { tripChance } from "./likelihood/score-walk.js";
import type { PredictedWalk } from "./simulation/predicted-walk.js";
import type { PredictionBook } from "./simulation/prediction-book.js";

/** A reading this far from its prediction is not noise, standard deviations. */
const wildDeviations = 5;
/** One wild reading is bad luck; more than this many mean that something is not accounted for. */
const mostWild = 1;

/** Whether an explanation accounts for the readings, all but perhaps one wild one. */
export function accountsForReadings(walk: PredictedWalk, book: PredictionBook): boolean {
  const { scatter } = fitMarginal(walk.predictions, book.scatter.count);
  let wild = 0;
  for (const prediction of walk.predictions) {
    const { tripped } = prediction.block;
    const chance = tripChance(prediction.fedAmps, book.conditions.source.tripAmps);
    if (tripped !== undefined && (tripped ? chance : 1 - chance) < 0.01) wild++;
    for (let row = 0; row < prediction.observations.length; row++) {
      if (Math.abs(residualAt(prediction, row, scatter)) > wildDeviations * sigmaOf(prediction, row)) wild++;
    }
  }
  return wild <= mostWild;
}
