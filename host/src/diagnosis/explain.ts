import { faultPlaces } from "../plan/fault.js";
import { canTellApart } from "./can-tell-apart.js";
import type { ConcreteFault } from "./hypotheses/concrete-fault.js";
import { fitPair, type PairFit } from "./hypotheses/fit-pair.js";
import { hypothesesOf } from "./hypotheses/hypotheses-of.js";
import type { Hypothesis } from "./hypotheses/hypothesis.js";
import { scoreOf } from "./hypotheses/score-hypothesis.js";
import { BlockScores } from "./likelihood/block-scores.js";
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

/** Explains readings by faults of the plan: none, every single one, and pairs as far as the limits allow. */
export function explain(book: PredictionBook, limits: ExplainLimits): Explained {
  const scores = new BlockScores(book);
  const hypotheses = hypothesesOf(faultPlaces(book.conditions.plan), { book, scores });
  const twins = twinsOf(hypotheses);
  const walks = new Map<string, PairFit>();
  const none = { walk: book.healthy, logLikelihood: scoreOf(book.healthy, book) };
  const gains = new Map(
    hypotheses.map((hypothesis) => [hypothesis, scores.sharedGain(hypothesis.walk, hypothesis.logLikelihood)]),
  );
  const shared = (hypothesis: Hypothesis): number => gains.get(hypothesis) ?? 0;
  const result = searchExplanations<Hypothesis>(
    {
      faults: [...twins.keys()],
      logPrior: (faults) => faults.reduce((sum, { logPrior }) => sum + logPrior, 0),
      logLikelihood: (faults) => {
        const [first, second] = faults;
        if (first === undefined) return none.logLikelihood;
        if (second === undefined) return first.logLikelihood;
        const fit = fitPair(first, second, { book, scores });
        if (fit !== undefined) walks.set(keyOf(faults), fit);
        return fit?.logLikelihood ?? Number.NEGATIVE_INFINITY;
      },
      pairBound: (first, second, floor) =>
        scores.pairBound(first.walk, second.walk, floor, Math.max(shared(first), shared(second))),
      canPair: (first, second) => first.concrete.fault.at !== second.concrete.fault.at,
    },
    { ...limits, cutoff },
  );
  const solve = (faults: readonly Hypothesis[], exact: boolean): number | undefined => {
    const [first, second] = faults;
    if (first === undefined || second === undefined) return undefined;
    if (exact && !scores.meet(first.walk, second.walk)) return undefined;
    const fit = fitPair(first, second, { book, scores });
    if (fit !== undefined) walks.set(keyOf(faults), fit);
    return fit?.logLikelihood ?? Number.NEGATIVE_INFINITY;
  };
  const alike = (first: Hypothesis, second: Hypothesis): boolean => !canTellApart(first.walk, second.walk, book);
  return weighed(hypotheses, withTwins(result, twins, alike, solve), (faults) => {
    const [first, second] = faults;
    if (first === undefined) return none;
    return second === undefined ? first : (walks.get(keyOf(faults)) ?? first);
  });
}

function keyOf(faults: readonly Hypothesis[]): string {
  return faults.map(({ concrete: { fault } }) => `${fault.kind}@${fault.at}`).join(" ");
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
