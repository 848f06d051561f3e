import type { Spread } from "./spread.js";

/** Limits of a quantity; one side may be missing. */
export interface Limits {
  readonly low?: number;
  readonly high?: number;
}

/** How well a process keeps within limits. */
export interface Capability {
  /** Null where a limit is missing. */
  readonly cp: number | null;
  readonly cpk: number;
  /** Between these the true Cpk lies with about 95 % confidence. */
  readonly cpkLow: number;
  readonly cpkHigh: number;
}

/**
 * Cp and Cpk (NIST/SEMATECH e-Handbook 6.1.6): the distance from the mean to the nearer limit in units of three standard
 * deviations, with the handbook's approximate confidence limits. Supposes values of one stable process, normally
 * distributed. Null for fewer than two values, no spread, or no limit.
 *
 * Mean 16, deviation 2, limits 8 and 20 give Cp 1.0 and Cpk 0.6667 (the handbook's own example).
 */
export function capabilityOf(spread: Spread, { low, high }: Limits): Capability | null {
  const { mean, deviation, count } = spread;
  if (count < 2 || deviation === 0 || (low === undefined && high === undefined)) return null;
  const sides = [
    ...(high === undefined ? [] : [(high - mean) / (3 * deviation)]),
    ...(low === undefined ? [] : [(mean - low) / (3 * deviation)]),
  ];
  const cpk = Math.min(...sides);
  const half = 1.96 * Math.sqrt(1 / (9 * count) + cpk ** 2 / (2 * (count - 1)));
  const cp = low === undefined || high === undefined ? null : (high - low) / (6 * deviation);
  return { cp, cpk, cpkLow: cpk - half, cpkHigh: cpk + half };
}
