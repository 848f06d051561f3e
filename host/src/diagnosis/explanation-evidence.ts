import type { Findings } from "./findings.js";
import { fitMarginal, residualAt, sigmaOf } from "./likelihood/marginal-fit.js";
import { observationName } from "./likelihood/observation.js";
import type { PredictedWalk } from "./simulation/predicted-walk.js";
import type { PredictionBook } from "./simulation/prediction-book.js";

type Evidence = NonNullable<Findings["explanations"][number]["evidence"]>[number];

/** A reading counts when it lies this much nearer to one account than to the other, standard deviations. */
const tellingDeviations = 2;
/** A reading this far from its prediction speaks against an explanation by itself. */
const contraryDeviations = 3;
const mostEvidence = 8;

/** The readings that speak for and against an explanation, each in units of its own uncertainty, the weightiest first. */
export function explanationEvidence(walk: PredictedWalk, book: PredictionBook): Evidence[] {
  const here = fitMarginal(walk.predictions, book.scatter.count).scatter;
  const healthy = fitMarginal(book.healthy.predictions, book.scatter.count).scatter;
  const found: (Evidence & { weight: number })[] = [];
  walk.predictions.forEach((prediction, at) => {
    const rival = book.healthy.predictions[at] ?? prediction;
    prediction.observations.forEach((observation, row) => {
      const deviations = residualAt(prediction, row, here) / sigmaOf(prediction, row);
      const deviationsIfHealthy = residualAt(rival, row, healthy) / sigmaOf(rival, row);
      const gain = Math.abs(deviationsIfHealthy) - Math.abs(deviations);
      const against = Math.abs(deviations) > contraryDeviations && gain < tellingDeviations;
      if (gain < tellingDeviations && !against && gain > -tellingDeviations) return;
      found.push({
        reading: observationName(observation),
        measured: observation.value,
        predicted: round(prediction.values[row] ?? 0),
        deviations: round(deviations),
        deviationsIfHealthy: round(deviationsIfHealthy),
        speaks: gain >= tellingDeviations ? "for" : "against",
        weight: against ? Math.abs(deviations) : Math.abs(gain),
      });
    });
  });
  return found
    .sort((a, b) => b.weight - a.weight)
    .slice(0, mostEvidence)
    .map(({ weight: _weight, ...evidence }) => evidence);
}

const round = (value: number): number => Math.round(value * 1000) / 1000 + 0;
