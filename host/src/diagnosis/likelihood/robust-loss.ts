/**
 * A reading is nearly always as good as the bench says, and once in a while it is anything: a Gaussian with a heavy tail.
 * A single wild reading costs an explanation some nine to sixteen units, however wild it is.
 */
const wildChance = 1e-4;
const tailWidth = 10;

/** Negative log density of a standardised residual, up to a constant. `robustLoss(1)` is 0.5; `robustLoss(400)` is 16.6. */
export function robustLoss(z: number): number {
  return -Math.log(Math.exp(-0.5 * z * z) + wildChance / (1 + (z / tailWidth) ** 2));
}

/** Weight of a residual in a least-squares step: 1 for ordinary readings, near 0 for wild ones. */
export function robustWeight(z: number): number {
  const good = Math.exp(-0.5 * z * z);
  return good / (good + wildChance / (1 + (z / tailWidth) ** 2));
}
