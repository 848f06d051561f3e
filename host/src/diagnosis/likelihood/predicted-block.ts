import type { Observation } from "./observation.js";

/** Readings of one way of feeding the network, and what an explanation predicts for them. */
export interface PredictedBlock {
  readonly observations: readonly Observation[];
  readonly values: Float64Array;
  /** What to compare with in place of the readings, row for row; absent: the readings. */
  readonly measured?: Float64Array;
  /** Indices of the scattered quantities that move these readings. */
  readonly scattered: readonly number[];
  /** Row per observation, column per entry of `scattered`: change of the reading for one standard deviation. */
  readonly slopes: Float64Array;
  /** Variance of each reading beyond the bench's own noise. */
  readonly extraVariance: Float64Array;
}
