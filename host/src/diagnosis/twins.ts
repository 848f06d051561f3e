import type { Hypothesis } from "./hypotheses/hypothesis.js";
import type { PairSolver } from "./pair-solver.js";
import type { Explanation, SearchResult } from "./ranking/search-explanations.js";
import type { LazyPredictions } from "./simulation/predicted-walk.js";

/** One hypothesis for each distinct prediction, with all that share it. */
export function twinsOf(hypotheses: readonly Hypothesis[]): Map<Hypothesis, Hypothesis[]> {
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

/** An explanation that stands for one that was solved. */
export interface TwinnedExplanation {
  /** The faults that were solved. */
  readonly solved: readonly Hypothesis[];
  /** The faults that it stands for. */
  readonly faults: readonly Hypothesis[];
  readonly logWeight: number;
}

/** Pairs that are solved for the sake of faults alike, at most. */
const mostSolved = 60;
/** Pairs this far below the best have only their twins named again, natural logarithm. */
const nearBest = 3;
/** A set that falls this far below the best is dropped, natural logarithm. */
const mostBehind = 8;
/** Faults that differ by more than this in likelihood are not alike here. */
const likeEnough = 3;

/**
 * Says every explanation again for the twins of its faults, with their own priors. Where two faults meet, twins need not do
 * the same any more (a wire broken before or behind a short): there each is solved for itself. So are, beside the best
 * pairs, faults that the bench cannot tell from one of the pair, which the search may have passed over.
 */
export function withTwins(
  { explanations, ...rest }: SearchResult<Hypothesis>,
  twins: ReadonlyMap<Hypothesis, readonly Hypothesis[]>,
  alike: (first: Hypothesis, second: Hypothesis) => boolean,
  pairs: PairSolver,
): { explanations: TwinnedExplanation[]; leftOutLogWeight: number; pairsSolved: number } {
  const named = new Set<string>();
  const found: TwinnedExplanation[] = [];
  let tried = 0;
  const best = explanations[0]?.logWeight ?? 0;
  for (const explanation of explanations) {
    for (const { faults, exact } of setsLike(explanation, best, twins, alike)) {
      const key = keyOf(faults);
      if (named.has(key) || (!exact && tried >= mostSolved)) continue;
      if (!exact) tried++;
      const [first, second] = faults;
      const own =
        first && second && (!exact || pairs.meet(first, second))
          ? ownWeight(first, second, pairs, exact ? Number.NEGATIVE_INFINITY : best - mostBehind - priorOf(faults))
          : undefined;
      const logLikelihood = own ?? explanation.logWeight - priorOf(explanation.faults);
      if (!Number.isFinite(logLikelihood)) continue;
      named.add(key);
      const whose = own === undefined ? explanation.faults : faults;
      found.push({ solved: whose, faults, logWeight: logLikelihood + priorOf(faults) });
    }
  }
  const kept = found.filter(({ logWeight }) => logWeight >= best - mostBehind);
  return { explanations: kept.sort((a, b) => b.logWeight - a.logWeight), ...rest };
}

function ownWeight(first: Hypothesis, second: Hypothesis, pairs: PairSolver, floor: number): number {
  return pairs.solve(first, second, floor)?.logLikelihood ?? Number.NEGATIVE_INFINITY;
}

/** The explanation itself, the sets with twins in its place (`exact`), and beside a best pair those with faults alike. */
function setsLike(
  { faults, logWeight }: Explanation<Hypothesis>,
  best: number,
  twins: ReadonlyMap<Hypothesis, readonly Hypothesis[]>,
  alike: (first: Hypothesis, second: Hypothesis) => boolean,
): { faults: Hypothesis[]; exact: boolean }[] {
  const exact = products(faults.map((fault) => twins.get(fault) ?? [fault])).map((set) => ({
    faults: set,
    exact: true,
  }));
  if (faults.length < 2 || logWeight < best - nearBest) return exact;
  const mates = faults.map((fault) =>
    [...twins.entries()].flatMap(([other, all]) =>
      other !== fault && nearlyAsLikely(other, fault) && alike(fault, other) ? all : [],
    ),
  );
  const one = faults.flatMap((_, at) =>
    products(faults.map((fault, place) => (place === at ? (mates[place] ?? []) : (twins.get(fault) ?? [fault])))),
  );
  return [...exact, ...one.map((set) => ({ faults: set, exact: false }))];
}

/** Both contradict the readings alone, or neither by much more than the other. */
function nearlyAsLikely(first: Hypothesis, second: Hypothesis): boolean {
  if (first.logLikelihood === second.logLikelihood) return true;
  return Math.abs(first.logLikelihood - second.logLikelihood) < likeEnough;
}

function products(choices: readonly (readonly Hypothesis[])[]): Hypothesis[][] {
  return choices.reduce<Hypothesis[][]>(
    (sets, choice) => sets.flatMap((set) => choice.map((one) => [...set, one])),
    [[]],
  );
}

function priorOf(faults: readonly Hypothesis[]): number {
  return faults.reduce((sum, { logPrior }) => sum + logPrior, 0);
}

function keyOf(faults: readonly Hypothesis[]): string {
  return faults
    .map(({ concrete: { fault } }) => `${fault.kind}@${fault.at}`)
    .sort()
    .join(" ");
}
