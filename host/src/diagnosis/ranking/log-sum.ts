/** Logarithm of the sum of exponentials, safe for large magnitudes. `logSum([0, 0])` is ln 2. */
export function logSum(logs: readonly number[]): number {
  const most = logs.reduce((max, value) => Math.max(max, value), Number.NEGATIVE_INFINITY);
  if (!Number.isFinite(most)) return most;
  return most + Math.log(logs.reduce((sum, value) => sum + Math.exp(value - most), 0));
}
