import type { InputCorrection } from "../../bench/bench-calibration.js";
import { type Comparison, fitLine } from "./line-fit.js";

/** One input of the bench, calibrated. Volts or amps. */
export interface InputFit {
  readonly correction: InputCorrection;
  readonly residuals: readonly number[];
  /** Standard uncertainty of a corrected reading: relative part without unit, offset in volts or amps. */
  readonly uncertainty: { readonly relative: number; readonly offset: number };
}

/** What belongs to an input whatever is done to it. */
export interface InputLimits {
  /** Standard uncertainty of one reading: converter's shape and step. Volts or amps. */
  readonly readingU: number;
  /** Standard uncertainty of the reference's scale, without unit. */
  readonly scaleU: number;
  /** Over which the uncertainty has to hold. Volts or amps. */
  readonly most: number;
}

const places = 16;

/**
 * Gain and offset from comparisons, and what uncertainty corrected readings have over the whole range: the offset is that at zero,
 * the relative part the least that covers the reference's scale and the line's slope everywhere. An input whose zero lies below the
 * converter's shows nothing of what is smaller than that; the true value is then anywhere from zero to it (JCGM 100:2008, 4.3.7).
 */
export function fitInput(comparisons: readonly Comparison[], { readingU, scaleU, most }: InputLimits): InputFit {
  const line = fitLine(comparisons);
  const offset = line.slope === 0 ? 0 : -line.intercept / line.slope;
  const remainingAt = (value: number): number => Math.max(0, line.uAt(value) ** 2 - (scaleU * value) ** 2);
  const atZero = remainingAt(0);
  const hidden = Math.max(0, -offset) * line.slope;
  let slopeVariance = 0;
  for (let place = 1; place <= places; place += 1) {
    const value = (most * place) / places;
    slopeVariance = Math.max(slopeVariance, (remainingAt(value) - atZero) / value ** 2);
  }
  return {
    // A line without intercept has no offset; -0 is none to show.
    correction: { gain: line.slope, offset: offset === 0 ? 0 : offset },
    residuals: line.residuals,
    uncertainty: {
      relative: Math.hypot(scaleU, Math.sqrt(slopeVariance)),
      offset: Math.hypot(Math.sqrt(atZero), readingU, hidden / Math.sqrt(3)),
    },
  };
}

/** What the bench's design makes of a reading that was taken with other constants in force. */
export function designReading(reading: number, { gain, offset }: InputCorrection): number {
  return reading / gain + offset;
}
