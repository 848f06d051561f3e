/** A fault's size that the readings decide, on a logarithmic scale with a normal prior. */
export interface SizePrior {
  readonly mean: number;
  readonly deviation: number;
}

export interface SizedFit<T> {
  readonly size: number;
  readonly result: T;
  /** Log likelihood with the size integrated out (Laplace's approximation around the best size). */
  readonly logEvidence: number;
}

/**
 * How a size was found to fit. `hopeless` means that no stronger one need be tried, `declines` that a stronger one can only
 * fit worse.
 */
export interface SizeScore {
  readonly logLikelihood: number;
  /** A log likelihood with a slope everywhere, by which the best size is found. */
  readonly guide: number;
  readonly hopeless: boolean;
  readonly declines: boolean;
}

/** Refinements at most; few are needed unless many readings pin the size down to a percent. */
const mostRefinements = 14;
/** Neighbours this near in likelihood bracket the best size closely enough, natural logarithm. */
const closeEnough = 1;
/** Where stronger sizes fit worse, one this far below no fault at all ends a branch, natural logarithm. */
const outOfReach = 12;
/** A size this far below no fault at all is not worth refining, natural logarithm. */
const notWorthRefining = 6;

/**
 * Finds the size that explains the readings best and integrates over it. `branches` are sizes to try, each from the
 * weakest effect to the strongest; a branch ends where it gets hopeless. The bracket around the best is narrowed by
 * parabolas through its three points, unless even the best is far worse than `without` any fault, by the guide.
 */
export function estimateSize<T extends SizeScore>(
  prior: SizePrior,
  branches: readonly (readonly number[])[],
  without: number,
  evaluate: (size: number) => T,
): SizedFit<T> {
  const points: Point<T>[] = [];
  const weakest = branches.flatMap(([first]) => (first === undefined ? [] : [first]));
  for (const branch of branches) {
    for (const size of branch) {
      const point = pointAt(prior, evaluate, size);
      points.push(point);
      if (point.result.hopeless || (point.result.declines && point.logPosterior < without - outOfReach)) break;
    }
  }
  for (let round = 0; round < mostRefinements; round++) {
    const guided = points.reduce((most, point) => (point.guide > most.guide ? point : most));
    if (guided.guide < without - notWorthRefining) break;
    const next = nextSize(points, weakest);
    if (next === undefined) break;
    points.push(pointAt(prior, evaluate, next));
  }
  points.sort((a, b) => a.size - b.size);
  const best = points.reduce((most, point) => (point.logPosterior > most.logPosterior ? point : most));
  return { size: best.size, result: best.result, logEvidence: logIntegral(points, prior) };
}

interface Point<T> {
  readonly size: number;
  readonly result: T;
  readonly logPosterior: number;
  /** The same by the guide. */
  readonly guide: number;
}

function pointAt<T extends SizeScore>(prior: SizePrior, evaluate: (size: number) => T, size: number): Point<T> {
  const result = evaluate(size);
  const logPrior = -0.5 * ((size - prior.mean) / prior.deviation) ** 2;
  return { size, result, logPosterior: result.logLikelihood + logPrior, guide: result.guide + logPrior };
}

/** The vertex of the parabola through the best point and its neighbours, kept inside the bracket; undefined when it is found. */
function nextSize<T>(points: readonly Point<T>[], weakest: readonly number[]): number | undefined {
  const sorted = [...points].sort((a, b) => a.size - b.size);
  const at = sorted.reduce((most, point, index) => (point.guide > (sorted[most]?.guide ?? 0) ? index : most), 0);
  const left = sorted[at - 1];
  const middle = sorted[at];
  const right = sorted[at + 1];
  if (middle === undefined) return undefined;
  if (left === undefined || right === undefined)
    return weakest.includes(middle.size) ? undefined : beyond(middle, left ?? right);
  const drop = middle.guide - Math.min(left.guide, right.guide);
  if (drop < closeEnough) return undefined;
  const a = middle.size - left.size;
  const b = right.size - middle.size;
  const fa = middle.guide - left.guide;
  const fb = middle.guide - right.guide;
  const shift = (0.5 * (b * b * fa - a * a * fb)) / (b * fa + a * fb || 1);
  const wanted = middle.size + shift;
  const margin = 0.1 * Math.min(a, b);
  const steep = drop > 60;
  if (!steep && Math.abs(shift) > margin) return Math.min(Math.max(wanted, left.size + margin), right.size - margin);
  // Far from the top a parabola says little: halve the wider side instead.
  if (Math.max(a, b) < 1e-3) return undefined;
  return a > b ? middle.size - 0.4 * a : middle.size + 0.4 * b;
}

/** The best size lies at the end of what was tried: the next one as far again beyond, if there is a slope at all. */
function beyond<T>(end: Point<T>, inner: Point<T> | undefined): number | undefined {
  if (inner === undefined || end.guide - inner.guide < closeEnough) return undefined;
  return end.size + (end.size - inner.size);
}

/** Integral of the posterior over the size: trapezia in the logarithm, exact for exponentials between the points. */
function logIntegral<T>(points: readonly Point<T>[], prior: SizePrior): number {
  const most = Math.max(...points.map(({ logPosterior }) => logPosterior));
  if (points.length < 2) return most;
  let sum = 0;
  points.forEach((point, index) => {
    const next = points[index + 1];
    if (next === undefined) return;
    const low = Math.exp(point.logPosterior - most);
    const high = Math.exp(next.logPosterior - most);
    const width = next.size - point.size;
    const drop = point.logPosterior - next.logPosterior;
    sum += Math.abs(drop) < 1e-3 ? width * 0.5 * (low + high) : (width * (low - high)) / drop;
  });
  return most + Math.log(sum) - Math.log(prior.deviation * Math.sqrt(2 * Math.PI));
}
