import type { MeasuredValue } from "./measured-value.js";

const msPerYear = 365.25 * 24 * 3600 * 1000;

/**
 * Slope of a straight line through figures over time, per year, by weighted least squares, with its uncertainty (k = 2) from
 * the figures' own uncertainties. Undefined for fewer than three figures or less than a day. It says how things went, not how they will.
 */
export function trendPerYear(
  points: readonly { readonly testedAt: string; readonly figure: MeasuredValue }[],
): MeasuredValue | undefined {
  const times = points.map(({ testedAt }) => Date.parse(testedAt) / msPerYear);
  const span = Math.max(...times) - Math.min(...times);
  if (points.length < 3 || !(span * 365.25 >= 1)) return undefined;
  const weights = points.map(({ figure }) => 1 / Math.max(figure.uncertainty, 1e-9) ** 2);
  const sum = weights.reduce((total, weight) => total + weight, 0);
  const mean = (values: readonly number[]): number =>
    values.reduce((total, value, index) => total + value * (weights[index] ?? 0), 0) / sum;
  const meanTime = mean(times);
  const meanValue = mean(points.map(({ figure }) => figure.value));
  let square = 0;
  let product = 0;
  points.forEach(({ figure }, index) => {
    const away = (times[index] ?? 0) - meanTime;
    square += (weights[index] ?? 0) * away ** 2;
    product += (weights[index] ?? 0) * away * (figure.value - meanValue);
  });
  return { value: product / square, uncertainty: Math.sqrt(1 / square) };
}
