import { combinedCovariance } from "../../plan/gum.js";

/** One comparison: what the bench's design makes of it, and what it truly is by the reference. Volts or amps. */
export interface Comparison {
  readonly design: number;
  readonly reference: number;
  /** Standard uncertainty of its own: noise, converter, the reference's last digit. */
  readonly u: number;
  /** Standard uncertainty that all comparisons have in common: the reference's scale. Same unit. */
  readonly sharedU: number;
}

/** The straight line reference = slope x design + intercept through comparisons. */
export interface LineFit {
  readonly slope: number;
  readonly intercept: number;
  /** Reference less line, of each comparison; always 0 for two. */
  readonly residuals: readonly number[];
  /** Standard uncertainty of the line at a design value, its shared part included. */
  uAt(design: number): number;
}

/**
 * Least squares, every comparison alike, with the uncertainty of the line by the GUM: slope and intercept are weighted sums of
 * the references, which are correlated by what they share (JCGM 100:2008, 5.2.2). One comparison gives a slope alone.
 * Throws for none, and where all were taken at one place.
 */
export function fitLine(comparisons: readonly Comparison[]): LineFit {
  const [first] = comparisons;
  if (first === undefined) throw new RangeError("nothing was compared");
  const weights = comparisons.length === 1 ? throughOrigin(first) : leastSquares(comparisons);
  const sum = (factors: readonly number[]): number =>
    comparisons.reduce((total, { reference }, at) => total + (factors[at] ?? 0) * reference, 0);
  const slope = sum(weights.slope);
  const intercept = sum(weights.intercept);
  const whole = comparisons.map(({ u, sharedU }) => Math.hypot(u, sharedU));
  const correlation = (i: number, j: number): number => {
    const product = (whole[i] ?? 0) * (whole[j] ?? 0);
    return product === 0 ? 0 : ((comparisons[i]?.sharedU ?? 0) * (comparisons[j]?.sharedU ?? 0)) / product;
  };
  return {
    slope,
    intercept,
    residuals: comparisons.map(({ design, reference }) => reference - slope * design - intercept),
    uAt(design) {
      const changes = whole.map((u, at) => ((weights.slope[at] ?? 0) * design + (weights.intercept[at] ?? 0)) * u);
      return Math.sqrt(Math.max(0, combinedCovariance(changes, changes, correlation)));
    },
  };
}

interface Weights {
  readonly slope: readonly number[];
  readonly intercept: readonly number[];
}

function throughOrigin({ design }: Comparison): Weights {
  if (design === 0) throw new RangeError("a comparison at zero tells no gain");
  return { slope: [1 / design], intercept: [0] };
}

function leastSquares(comparisons: readonly Comparison[]): Weights {
  const count = comparisons.length;
  const mean = comparisons.reduce((sum, { design }) => sum + design, 0) / count;
  const spread = comparisons.reduce((sum, { design }) => sum + (design - mean) ** 2, 0);
  if (spread === 0) throw new RangeError("all comparisons were taken at one value");
  const slope = comparisons.map(({ design }) => (design - mean) / spread);
  return { slope, intercept: slope.map((weight) => 1 / count - mean * weight) };
}
