import { faultPlaces } from "../plan/fault.js";
import { canTellApart } from "./can-tell-apart.js";
import type { ConcreteFault } from "./hypotheses/concrete-fault.js";
import { hypothesesOf } from "./hypotheses/hypotheses-of.js";
import type { Hypothesis } from "./hypotheses/hypothesis.js";
import { scoreOf } from "./hypotheses/score-hypothesis.js";
import { BlockScores } from "./likelihood/block-scores.js";
import { PairBounds } from "./likelihood/pair-bounds.js";
import { PairSolver } from "./pair-solver.js";
import { logSum } from "./ranking/log-sum.js";
import { searchExplanations } from "./ranking/search-explanations.js";
import type { PredictedWalk } from "./simulation/predicted-walk.js";
import type { PredictionBook } from "./simulation/prediction-book.js";
import { type TwinnedExplanation, twinsOf, withTwins } from "./twins.js";

/** One complete account of the readings. */
export interface WeighedExplanation {
  readonly faults: readonly ConcreteFault[];
  /** What each of the faults would do alone. */
  readonly alone: readonly PredictedWalk[];
  readonly walk: PredictedWalk;
  readonly probability: number;
  readonly logLikelihood: number;
}

export interface Explained {
  /** Every fault that was considered, with its size estimated. */
  readonly hypotheses: readonly Hypothesis[];
  /** Best first; an empty list of faults means that nothing is wrong. */
  readonly explanations: readonly WeighedExplanation[];
  /** Upper bound of the weight of the pairs that were not solved, against all explanations together. */
  readonly leftOut: number;
  readonly pairsSolved: number;
}

export interface ExplainLimits {
  readonly mostFaults: 1 | 2;
  readonly mostPairs: number;
}

/** Weight below the best at which an explanation is dropped, natural logarithm: one in three thousand. */
const cutoff = 8;
/** A pair may gain so much more than the likeliest single explanation, natural logarithm. */
const gainSlack = 8;
/** The same for pairs of faults. */
const pairCutoff = 7;

/** Explains readings by faults of the plan: none, every single one, and pairs as far as the limits allow. */
export function explain(book: PredictionBook, limits: ExplainLimits): Explained {
  const scores = new BlockScores(book);
  const bench = { book, scores, bounds: new PairBounds(book, scores) };
  const hypotheses = hypothesesOf(faultPlaces(book.conditions.plan), bench);
  const twins = twinsOf(hypotheses);
  const none = { walk: book.healthy, logLikelihood: scoreOf(book.healthy, book) };
  // What scatters is paid for once in a whole walk: so much do the blocks of the likeliest explanation gain together.
  const likeliest = [...hypotheses, { ...none, logPrior: 0 }].reduce((most, one) =>
    one.logLikelihood + one.logPrior > most.logLikelihood + most.logPrior ? one : most,
  );
  const clear = scores.measureBy(likeliest.walk);
  // Where nothing wrong explains all readings, no two faults can explain them better by more than noise.
  const mostFaults = clear && likeliest.walk === book.healthy ? 1 : limits.mostFaults;
  const shared =
    Math.max(0, scores.soundGain, scores.sharedGain(likeliest.walk, likeliest.logLikelihood)) + (clear ? 0 : gainSlack);
  const pairs = new PairSolver(hypotheses, twins, bench, shared);
  const result = searchExplanations<Hypothesis>(
    {
      faults: [...twins.keys()],
      logPrior: (faults) => faults.reduce((sum, { logPrior }) => sum + logPrior, 0),
      logLikelihood: (faults, floor) => {
        const [first, second] = faults;
        if (first === undefined) return none.logLikelihood;
        if (second === undefined) return first.logLikelihood;
        return pairs.bestOfTwins(first, second, floor);
      },
      pairBound: (first, second, floor) => bench.bounds.of(first.walk, second.walk, floor, shared),
      canPair: (first, second) => first.concrete.fault.at !== second.concrete.fault.at,
    },
    { ...limits, mostFaults, cutoff, pairCutoff },
  );
  const alike = (first: Hypothesis, second: Hypothesis): boolean => !canTellApart(first.walk, second.walk, book);
  return weighed(hypotheses, withTwins(result, twins, alike, pairs), (faults) => {
    const [first, second] = faults;
    if (first === undefined) return none;
    return second === undefined ? first : (pairs.solve(first, second, Number.NEGATIVE_INFINITY) ?? first);
  });
}

function weighed(
  hypotheses: readonly Hypothesis[],
  result: { explanations: readonly TwinnedExplanation[]; leftOutLogWeight: number; pairsSolved: number },
  found: (faults: readonly Hypothesis[]) => { walk: PredictedWalk; logLikelihood: number },
): Explained {
  const total = logSum(result.explanations.map(({ logWeight }) => logWeight));
  return {
    hypotheses,
    explanations: result.explanations.map(({ faults, solved, logWeight }) => {
      const { walk, logLikelihood } = found(solved);
      return {
        // Sizes are those of the solved set; a twin has its fault's size at its own place.
        faults: faults.map(({ concrete }, at) => resized(concrete, walk.faults[at])),
        alone: faults.map((fault) => fault.walk),
        probability: Math.exp(logWeight - total),
        walk,
        logLikelihood,
      };
    }),
    leftOut: Math.exp(result.leftOutLogWeight - total),
    pairsSolved: result.pairsSolved,
  };
}

function resized(fault: ConcreteFault, solved: ConcreteFault | undefined): ConcreteFault {
  const ohms = solved?.fault.ohms;
  return ohms === undefined || fault.fault.ohms === undefined ? fault : { fault: { ...fault.fault, ohms } };
}
