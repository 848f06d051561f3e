import { faultPlaces } from "../plan/fault.js";
import type { ConcreteFault } from "./hypotheses/concrete-fault.js";
import { fitPair, type PairFit } from "./hypotheses/fit-pair.js";
import { type Hypothesis, hypothesesOf, scoreOf } from "./hypotheses/hypothesis.js";
import { BlockScores } from "./likelihood/block-scores.js";
import { logSum } from "./ranking/log-sum.js";
import { type SearchResult, searchExplanations } from "./ranking/search-explanations.js";
import type { LazyPredictions, PredictedWalk } from "./simulation/predicted-walk.js";
import type { PredictionBook } from "./simulation/prediction-book.js";

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
  const gains = new Map<Hypothesis, number>();
  const shared = (hypothesis: Hypothesis): number => {
    const known = gains.get(hypothesis);
    if (known !== undefined) return known;
    const gain = scores.sharedGain(hypothesis.walk, hypothesis.logLikelihood);
    gains.set(hypothesis, gain);
    return gain;
  };
  const result = searchExplanations<Hypothesis>(
    {
      faults: [...twins.keys()],
      logPrior: priorOf,
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
  const solveTwins = (faults: readonly Hypothesis[]): number | undefined => {
    const [first, second] = faults;
    if (first === undefined || second === undefined || !scores.meet(first.walk, second.walk)) return undefined;
    const fit = fitPair(first, second, { book, scores });
    if (fit !== undefined) walks.set(keyOf(faults), fit);
    return fit?.logLikelihood ?? Number.NEGATIVE_INFINITY;
  };
  return weighed(hypotheses, withTwins(result, twins, solveTwins), (faults) => {
    const [first, second] = faults;
    if (first === undefined) return none;
    return second === undefined ? first : (walks.get(keyOf(faults)) ?? first);
  });
}

/** One hypothesis for each distinct prediction, with all that share it. */
function twinsOf(hypotheses: readonly Hypothesis[]): Map<Hypothesis, Hypothesis[]> {
  const first = new Map<LazyPredictions, Hypothesis>();
  const twins = new Map<Hypothesis, Hypothesis[]>();
  for (const hypothesis of [...hypotheses].sort((a, b) => b.logPrior - a.logPrior)) {
    const { lazy } = hypothesis.walk;
    const leader = first.get(lazy);
    if (leader === undefined) {
      first.set(lazy, hypothesis);
      twins.set(hypothesis, [hypothesis]);
    } else {
      twins.get(leader)?.push(hypothesis);
    }
  }
  return twins;
}

interface TwinnedExplanation {
  /** The faults that were solved. */
  readonly solved: readonly Hypothesis[];
  /** The faults that it stands for. */
  readonly faults: readonly Hypothesis[];
  readonly logWeight: number;
}

/** Pairs of twins that are solved for themselves at most. */
const mostTwinPairs = 60;

/**
 * Says every explanation again for the twins of its faults, with their own priors. Where two faults meet, twins need not do
 * the same any more (a wire broken before or behind a short): there each is solved for itself.
 */
function withTwins(
  { explanations, ...rest }: SearchResult<Hypothesis>,
  twins: ReadonlyMap<Hypothesis, readonly Hypothesis[]>,
  solve: (faults: readonly Hypothesis[]) => number | undefined,
): { explanations: TwinnedExplanation[]; leftOutLogWeight: number; pairsSolved: number } {
  let solved = 0;
  const all = explanations.flatMap(({ faults, logWeight }): TwinnedExplanation[] => {
    const sets = faults.reduce<Hypothesis[][]>(
      (found, fault) => found.flatMap((set) => (twins.get(fault) ?? [fault]).map((twin) => [...set, twin])),
      [[]],
    );
    const logLikelihood = logWeight - priorOf(faults);
    return sets.flatMap((set): TwinnedExplanation[] => {
      const same = set.every((fault, at) => fault === faults[at]);
      const own = same || faults.length < 2 || solved >= mostTwinPairs ? undefined : solve(set);
      if (own !== undefined) solved++;
      if (own === undefined) return [{ solved: faults, faults: set, logWeight: logLikelihood + priorOf(set) }];
      return Number.isFinite(own) ? [{ solved: set, faults: set, logWeight: own + priorOf(set) }] : [];
    });
  });
  return { explanations: all.sort((a, b) => b.logWeight - a.logWeight), ...rest };
}

function priorOf(faults: readonly Hypothesis[]): number {
  return faults.reduce((sum, { logPrior }) => sum + logPrior, 0);
}

function keyOf(faults: readonly Hypothesis[]): string {
  return faults.map(({ concrete: { fault } }) => `${fault.kind}@${fault.at}`).join(" ");
}

function weighed(
  hypotheses: readonly Hypothesis[],
  result: ReturnType<typeof withTwins>,
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
