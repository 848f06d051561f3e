import { factorEnvelope, solveEnvelope } from "./envelope-cholesky.js";
import type { PredictedBlock } from "./predicted-block.js";
import { ReadingRows } from "./reading-rows.js";
import { type NoiseLaw, noiseLaws } from "./robust-loss.js";

export interface MarginalFit {
  /** Log likelihood with all scatter integrated out, up to a constant that only the readings decide. */
  readonly logLikelihood: number;
  /** Half the sum of squares at the most likely scatter, wild readings weighed down. */
  readonly loss: number;
  /** Most likely values of the scattered quantities, in standard deviations. */
  readonly scatter: Float64Array;
}

/** Weights that moved by less than this have settled: the likelihood would change by no more. */
const settledWeight = 0.01;

/** Filled anew by every fit: a diagnosis makes thousands, one after the other. */
const rows = new ReadingRows();
let precision = new Float64Array(0);

/**
 * Integrates out what scatters from part to part and from bench to bench. The scattered quantities have unit normal
 * priors and move the readings linearly, so that the integral is Gaussian; wild readings are weighed down (iteratively
 * reweighted least squares, then Laplace's approximation).
 */
export function fitMarginal(
  blocks: readonly PredictedBlock[],
  scatteredCount: number,
  noise: NoiseLaw = noiseLaws.robust,
): MarginalFit {
  rows.fill(blocks, scatteredCount);
  const { size, count, raw, sigma, spread, weights, first, pull, estimate } = rows;
  if (precision.length < size * size) precision = new Float64Array(size * size);
  let halfLogDeterminant = 0;
  for (let round = 0; round < noise.rounds; round++) {
    let moved = 0;
    for (let row = 0; row < count; row++) {
      const own = sigma[row] as number;
      const weight =
        round === 0
          ? noise.weight((raw[row] as number) / Math.sqrt(own * own + (spread[row] as number)))
          : noise.weight(rows.residual(row) / own);
      moved = Math.max(moved, Math.abs(weight - (weights[row] as number)));
      weights[row] = weight;
    }
    if (round > 0 && moved < settledWeight) break;
    rows.normalEquations(precision, pull);
    halfLogDeterminant = factorEnvelope(precision, first, size);
    solveEnvelope(precision, first, size, pull, estimate);
  }
  let loss = 0;
  let logSpread = 0;
  for (let at = 0; at < size; at++) loss += 0.5 * (estimate[at] as number) ** 2;
  for (let row = 0; row < count; row++) {
    const own = sigma[row] as number;
    loss += noise.loss(rows.residual(row) / own);
    logSpread += Math.log(own / (rows.benchSigma[row] as number));
  }
  return { logLikelihood: -loss - logSpread - halfLogDeterminant, loss, scatter: rows.scatter(scatteredCount) };
}

/** Standard deviation of a reading about an explanation whose scatter is known. */
export function sigmaOf(block: PredictedBlock, row: number): number {
  return Math.sqrt((block.observations[row]?.sigma ?? 1) ** 2 + (block.extraVariance[row] ?? 0));
}

/** Measured less predicted, with the scatter moved to its estimate. */
export function residualAt(block: PredictedBlock, row: number, scatter: Float64Array): number {
  const { scattered, slopes } = block;
  let residual = (block.measured?.[row] ?? block.observations[row]?.value ?? 0) - (block.values[row] ?? 0);
  for (let column = 0; column < scattered.length; column++) {
    residual -= (slopes[row * scattered.length + column] ?? 0) * (scatter[scattered[column] ?? 0] ?? 0);
  }
  return residual;
}
