/** A figure with the half-width of what the bench can say of it (expanded uncertainty, k = 2, about 95 %). */
export interface MeasuredValue {
  readonly value: number;
  readonly uncertainty: number;
}

/** What a bench's statement of uncertainty is made of: a share of the reading, and a fixed part. */
export interface GainAndOffset {
  readonly relative: number;
  readonly offset: number;
}

/**
 * The difference of two readings of the same kind, `later − earlier`. Two benches, or one that was calibrated in between,
 * may err differently, so both uncertainties count whole (JCGM 100:2008, 5.1.2). One bench on one calibration errs by the same share
 * both times: that part shrinks to the share of the difference (5.2.2, correlation 1), only the fixed parts count.
 *
 * Two amps then 1.9 A on one bench with 1 % and 3 mA: −0.1 A ± 4.4 mA; on two benches ± 33 mA.
 */
export function changeBetween(
  earlier: number,
  later: number,
  first: GainAndOffset,
  last: GainAndOffset,
  sameBench: boolean,
): MeasuredValue {
  const value = later - earlier;
  const uncertainty = sameBench
    ? Math.hypot(first.offset, last.offset, last.relative * value)
    : Math.hypot(first.relative * earlier + first.offset, last.relative * later + last.offset);
  return { value, uncertainty };
}

/** True if a change is larger than what the bench could not tell from none. */
export function isSignificant({ value, uncertainty }: MeasuredValue): boolean {
  return Math.abs(value) > uncertainty;
}

/**
 * The mean of several figures, each weighted by the inverse square of its uncertainty, and whether they agree: their
 * scatter is no larger than the uncertainties explain (chi-square at 95 %, NIST/SEMATECH e-Handbook 1.3.6.7.4).
 */
export function weightedMean(values: readonly MeasuredValue[]): MeasuredValue & { readonly agree: boolean } {
  const weights = values.map(({ uncertainty }) => 1 / Math.max(uncertainty, 1e-9) ** 2);
  const sum = weights.reduce((total, weight) => total + weight, 0);
  const value = values.reduce((total, one, index) => total + one.value * (weights[index] ?? 0), 0) / sum;
  // The uncertainties are two standard deviations wide.
  const scatter = values.reduce((total, one, index) => total + 4 * (one.value - value) ** 2 * (weights[index] ?? 0), 0);
  return { value, uncertainty: Math.sqrt(1 / sum), agree: scatter <= chiSquare95(values.length - 1) };
}

/** Upper 5 % points of chi-square by degrees of freedom (NIST/SEMATECH e-Handbook, table 1.3.6.7.4). */
const chiSquareTable = [0, 3.841, 5.991, 7.815, 9.488, 11.07, 12.592, 14.067, 15.507, 16.919, 18.307, 19.675, 21.026];

function chiSquare95(degrees: number): number {
  return chiSquareTable[Math.min(Math.max(0, degrees), chiSquareTable.length - 1)] ?? 0;
}
