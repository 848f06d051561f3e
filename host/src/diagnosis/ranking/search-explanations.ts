import { logSum } from "./log-sum.js";

/**
 * What the search has to know of a system: its possible faults, how likely each set of them is beforehand, and how
 * well a set explains what was observed (natural logarithms; minus infinity for a contradiction).
 */
export interface FaultModel<F> {
  readonly faults: readonly F[];
  readonly logPrior: (faults: readonly F[]) => number;
  /** Any value below `floor` will do where it is below it. */
  readonly logLikelihood: (faults: readonly F[], floor: number) => number;
  /**
   * An upper bound of the pair's likelihood from what is known of its single faults, and how much it promises: pairs are
   * solved in that order. Any bound below `floor` will do where it is below it. Absent: nothing is known.
   */
  readonly pairBound?: (first: F, second: F, floor: number) => { readonly bound: number; readonly promise: number };
  /** False for pairs that make no sense together. */
  readonly canPair?: (first: F, second: F) => boolean;
}

export interface SearchLimits {
  /** 1: single faults only; 2: pairs too. */
  readonly mostFaults: 1 | 2;
  /** Pairs that are solved at most. */
  readonly mostPairs: number;
  /** A set whose weight falls this far below the best (natural logarithm) is dropped. */
  readonly cutoff: number;
  /** The same for pairs, where it is another. */
  readonly pairCutoff?: number;
}

export interface Explanation<F> {
  readonly faults: readonly F[];
  readonly logWeight: number;
}

export interface SearchResult<F> {
  /** Minimal explanations with their weights, best first. */
  readonly explanations: readonly Explanation<F>[];
  /** Upper bound of the weight of pairs that were not solved, natural logarithm relative to nothing; -Infinity if none. */
  readonly leftOutLogWeight: number;
  readonly pairsSolved: number;
}

/** A second fault must raise the likelihood at least by this factor (natural logarithm), or it explains nothing. */
const leastGain = 1;

/** Finds the fault sets that explain the observations: none, every single fault, and pairs in order of their bounds. */
export function searchExplanations<F>(model: FaultModel<F>, limits: SearchLimits): SearchResult<F> {
  const anyhow = Number.NEGATIVE_INFINITY;
  const none = model.logLikelihood([], anyhow);
  const singles = model.faults.map((fault) => ({
    fault,
    logPrior: model.logPrior([fault]),
    logLikelihood: model.logLikelihood([fault], anyhow),
  }));
  const explanations: Explanation<F>[] = [];
  let best = Number.NEGATIVE_INFINITY;
  const keep = (faults: readonly F[], logPrior: number, logLikelihood: number): void => {
    const logWeight = logPrior + logLikelihood;
    if (logWeight > Number.NEGATIVE_INFINITY) explanations.push({ faults, logWeight });
    if (logWeight > best) best = logWeight;
  };
  keep([], model.logPrior([]), none);
  for (const { fault, logPrior, logLikelihood } of singles) keep([fault], logPrior, logLikelihood);
  const pairs = limits.mostFaults > 1 ? searchPairs(model, limits, none, singles, keep, () => best) : noPairs;
  explanations.sort((a, b) => b.logWeight - a.logWeight);
  const floor = best - limits.cutoff;
  return { explanations: explanations.filter(({ logWeight }) => logWeight >= floor), ...pairs };
}

interface Single<F> {
  readonly fault: F;
  readonly logPrior: number;
  readonly logLikelihood: number;
}

const unbounded = { bound: Number.POSITIVE_INFINITY, promise: 0 };

const noPairs = { leftOutLogWeight: Number.NEGATIVE_INFINITY, pairsSolved: 0 };

function searchPairs<F>(
  model: FaultModel<F>,
  limits: SearchLimits,
  none: number,
  singles: readonly Single<F>[],
  keep: (faults: readonly F[], logPrior: number, logLikelihood: number) => void,
  bestLogWeight: () => number,
): { leftOutLogWeight: number; pairsSolved: number } {
  const cutoff = limits.pairCutoff ?? limits.cutoff;
  const open: { first: Single<F>; second: Single<F>; logPrior: number; bound: number; promise: number }[] = [];
  const floorOf = (first: Single<F>, second: Single<F>, logPrior: number): number => {
    const part = Math.max(none, first.logLikelihood, second.logLikelihood);
    return Math.max(part + leastGain, bestLogWeight() - cutoff - logPrior);
  };
  singles.forEach((first, index) => {
    for (const second of singles.slice(index + 1)) {
      if (model.canPair?.(first.fault, second.fault) === false) continue;
      const logPrior = model.logPrior([first.fault, second.fault]);
      const floor = floorOf(first, second, logPrior);
      const { bound, promise } = model.pairBound?.(first.fault, second.fault, floor) ?? unbounded;
      if (bound < floor) continue;
      open.push({ first, second, logPrior, bound, promise: logPrior + promise });
    }
  });
  open.sort((a, b) => b.promise - a.promise);
  let solved = 0;
  const leftOut: number[] = [];
  for (const { first, second, logPrior, bound } of open) {
    const floor = floorOf(first, second, logPrior);
    if (bound < floor) continue;
    if (solved >= limits.mostPairs) {
      leftOut.push(logPrior + bound);
      continue;
    }
    solved++;
    const logLikelihood = model.logLikelihood([first.fault, second.fault], floor);
    if (logLikelihood >= floor) keep([first.fault, second.fault], logPrior, logLikelihood);
  }
  return { leftOutLogWeight: logSum(leftOut), pairsSolved: solved };
}
