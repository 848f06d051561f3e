import type { Observation } from "./observation.js";
import { type NoiseLaw, noiseLaws } from "./robust-loss.js";

/** Readings of one way of feeding the network, and what an explanation predicts for them. */
export interface PredictedBlock {
  readonly observations: readonly Observation[];
  readonly values: Float64Array;
  /** Indices of the scattered quantities that move these readings. */
  readonly scattered: readonly number[];
  /** Row per observation, column per entry of `scattered`: change of the reading for one standard deviation. */
  readonly slopes: Float64Array;
  /** Variance of each reading beyond the bench's own noise. */
  readonly extraVariance: Float64Array;
}

export interface MarginalFit {
  /** Log likelihood with all scatter integrated out, up to a constant that only the readings decide. */
  readonly logLikelihood: number;
  /** Half the sum of squares at the most likely scatter, wild readings weighed down. */
  readonly loss: number;
  /** Most likely values of the scattered quantities, in standard deviations. */
  readonly scatter: Float64Array;
}

/**
 * Integrates out what scatters from part to part and from bench to bench. The scattered quantities have unit normal
 * priors and move the readings linearly, so that the integral is Gaussian; wild readings are weighed down (iteratively
 * reweighted least squares, then Laplace's approximation).
 */
export function fitMarginal(
  all: readonly PredictedBlock[],
  scatteredCount: number,
  noise: NoiseLaw = noiseLaws.robust,
): MarginalFit {
  const { blocks, used } = compacted(all, scatteredCount);
  const size = used.length;
  const estimate = new Float64Array(size);
  const precision = new Float64Array(size * size);
  const pull = new Float64Array(size);
  let weightOf: WeightOf = (residual, sigma, spread) => noise.weight(residual / Math.hypot(sigma, spread));
  let halfLogDeterminant = 0;
  for (let round = 0; round < noise.rounds; round++) {
    fillIdentity(precision, size);
    pull.fill(0);
    for (const block of blocks) addBlock(block, estimate, round > 0, weightOf, precision, pull, size);
    halfLogDeterminant = solveCholesky(precision, pull, estimate, size);
    weightOf = (residual, sigma) => noise.weight(residual / sigma);
  }
  let loss = 0;
  let logSpread = 0;
  for (let i = 0; i < size; i++) loss += 0.5 * (estimate[i] ?? 0) ** 2;
  for (const block of blocks) {
    for (let row = 0; row < block.observations.length; row++) {
      const sigma = sigmaOf(block, row);
      const z = residualAt(block, row, estimate) / sigma;
      loss += noise.loss(z);
      logSpread += Math.log(sigma / (block.observations[row]?.sigma ?? 1));
    }
  }
  const scatter = new Float64Array(scatteredCount);
  used.forEach((index, at) => {
    scatter[index] = estimate[at] ?? 0;
  });
  return { logLikelihood: -loss - logSpread - halfLogDeterminant, loss, scatter };
}

type WeightOf = (residual: number, sigma: number, spread: number) => number;

/** Renumbers the scattered quantities so that only those count that move a reading of these blocks. */
function compacted(all: readonly PredictedBlock[], count: number): { blocks: PredictedBlock[]; used: number[] } {
  const place = new Int32Array(count).fill(-1);
  const used: number[] = [];
  const blocks = all.map((block) => ({
    ...block,
    scattered: block.scattered.map((index) => {
      const known = place[index] ?? -1;
      if (known >= 0) return known;
      place[index] = used.length;
      return used.push(index) - 1;
    }),
  }));
  return { blocks, used };
}

/** Standard deviation of a reading about an explanation whose scatter is known. */
export function sigmaOf(block: PredictedBlock, row: number): number {
  return Math.sqrt((block.observations[row]?.sigma ?? 1) ** 2 + (block.extraVariance[row] ?? 0));
}

/** Measured less predicted, with the scatter moved to its estimate. */
export function residualAt(block: PredictedBlock, row: number, scatter: Float64Array): number {
  const { scattered, slopes } = block;
  let residual = (block.observations[row]?.value ?? 0) - (block.values[row] ?? 0);
  for (let column = 0; column < scattered.length; column++) {
    residual -= (slopes[row * scattered.length + column] ?? 0) * (scatter[scattered[column] ?? 0] ?? 0);
  }
  return residual;
}

function addBlock(
  block: PredictedBlock,
  scatter: Float64Array,
  fitted: boolean,
  weightOf: WeightOf,
  precision: Float64Array,
  pull: Float64Array,
  size: number,
): void {
  const { scattered, slopes } = block;
  const width = scattered.length;
  for (let row = 0; row < block.observations.length; row++) {
    const observation = block.observations[row];
    if (observation === undefined) continue;
    let spread = 0;
    for (let column = 0; column < width; column++) spread += (slopes[row * width + column] ?? 0) ** 2;
    const raw = observation.value - (block.values[row] ?? 0);
    const current = fitted ? residualAt(block, row, scatter) : raw;
    const sigma = sigmaOf(block, row);
    const weight = weightOf(current, sigma, Math.sqrt(spread)) / sigma ** 2;
    for (let column = 0; column < width; column++) {
      const slope = slopes[row * width + column] ?? 0;
      if (slope === 0) continue;
      const i = scattered[column] ?? 0;
      pull[i] = (pull[i] ?? 0) + weight * slope * raw;
      for (let other = 0; other < width; other++) {
        const at = i * size + (scattered[other] ?? 0);
        precision[at] = (precision[at] ?? 0) + weight * slope * (slopes[row * width + other] ?? 0);
      }
    }
  }
}

function fillIdentity(matrix: Float64Array, size: number): void {
  matrix.fill(0);
  for (let i = 0; i < size; i++) matrix[i * size + i] = 1;
}

/** Solves `matrix · x = right` in place by Cholesky's method; returns half the logarithm of the determinant. */
function solveCholesky(matrix: Float64Array, right: Float64Array, x: Float64Array, size: number): number {
  let halfLog = 0;
  for (let j = 0; j < size; j++) {
    for (let i = j; i < size; i++) {
      let sum = matrix[i * size + j] ?? 0;
      for (let k = 0; k < j; k++) sum -= (matrix[i * size + k] ?? 0) * (matrix[j * size + k] ?? 0);
      matrix[i * size + j] = i === j ? Math.sqrt(Math.max(sum, 1e-12)) : sum / (matrix[j * size + j] ?? 1);
    }
    halfLog += Math.log(matrix[j * size + j] ?? 1);
  }
  for (let i = 0; i < size; i++) {
    let sum = right[i] ?? 0;
    for (let k = 0; k < i; k++) sum -= (matrix[i * size + k] ?? 0) * (x[k] ?? 0);
    x[i] = sum / (matrix[i * size + i] ?? 1);
  }
  for (let i = size - 1; i >= 0; i--) {
    let sum = x[i] ?? 0;
    for (let k = i + 1; k < size; k++) sum -= (matrix[k * size + i] ?? 0) * (x[k] ?? 0);
    x[i] = sum / (matrix[i * size + i] ?? 1);
  }
  return halfLog;
}
