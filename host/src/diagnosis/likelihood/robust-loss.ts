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

/** How residuals count: their loss, and their weight in a least-squares step. */
export interface NoiseLaw {
  readonly loss: (z: number) => number;
  readonly weight: (z: number) => number;
  /** Least-squares steps until the weights have settled. */
  readonly rounds: number;
}

/** From here on a residual pulls with constant force, standard deviations (Huber's loss). */
const huberBend = 3;

/**
 * `robust` is how readings really scatter. `plain` is Gaussian, for distances between predictions. `guiding` grows without
 * end but linearly: a robust loss is flat where everything is wrong, and a search needs a slope.
 */
export const noiseLaws = {
  robust: { loss: robustLoss, weight: robustWeight, rounds: 3 },
  plain: { loss: (z) => 0.5 * z * z, weight: () => 1, rounds: 1 },
  guiding: {
    loss: (z) => (Math.abs(z) < huberBend ? 0.5 * z * z : huberBend * (Math.abs(z) - 0.5 * huberBend)),
    weight: (z) => Math.min(1, huberBend / Math.abs(z)),
    rounds: 3,
  },
} as const satisfies Record<string, NoiseLaw>;
