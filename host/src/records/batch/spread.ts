/** What a batch's values of one quantity look like. In the quantity's own unit. */
export interface Spread {
  readonly count: number;
  readonly mean: number;
  /** Sample standard deviation; 0 for a single value. */
  readonly deviation: number;
  readonly median: number;
  readonly least: number;
  readonly most: number;
}

function medianOf(sorted: readonly number[]): number {
  const middle = sorted.length >> 1;
  const upper = sorted[middle] ?? 0;
  return sorted.length % 2 === 1 ? upper : ((sorted[middle - 1] ?? 0) + upper) / 2;
}

/**
 * Mean, sample standard deviation (n − 1), median and range. Undefined for no values.
 *
 * `spreadOf([1, 2, 3, 4])` has mean 2.5, deviation 1.29, median 2.5.
 */
export function spreadOf(values: readonly number[]): Spread | undefined {
  if (values.length === 0) return undefined;
  const sorted = [...values].sort((a, b) => a - b);
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return {
    count: values.length,
    mean,
    deviation: values.length > 1 ? Math.sqrt(squares / (values.length - 1)) : 0,
    median: medianOf(sorted),
    least: sorted[0] ?? 0,
    most: sorted.at(-1) ?? 0,
  };
}

/** From this score on a value is called an outlier (Iglewicz and Hoaglin; NIST/SEMATECH e-Handbook 1.3.5.17). */
const outlierScore = 3.5;

/**
 * Modified z-scores `0.6745 (x − median) / MAD` (NIST/SEMATECH e-Handbook 1.3.5.17), which a few odd values cannot
 * hide from. `leastDeviation` keeps differences that the bench cannot see from counting. Fewer than five values give no scores.
 */
export function modifiedScores(values: readonly number[], leastDeviation: number): readonly number[] {
  const spread = spreadOf(values);
  if (!spread || values.length < 5) return values.map(() => 0);
  const away = values.map((value) => Math.abs(value - spread.median)).sort((a, b) => a - b);
  const deviation = Math.max(medianOf(away), leastDeviation);
  return values.map((value) => (deviation === 0 ? 0 : (0.6745 * (value - spread.median)) / deviation));
}

export function isOutlier(score: number): boolean {
  return Math.abs(score) > outlierScore;
}
