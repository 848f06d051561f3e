import type { Readings } from "../readings/readings.js";
import { readingNoiseCounts } from "./reading-noise.js";

type TesterUncertainty = Readings["tester"]["uncertainty"];

/** Coverage factor of what a document carries: about 95 % (JCGM 100:2008, 6.2.1). */
const coverageFactor = 2;

/** Half-width of a rectangular distribution to its standard deviation (JCGM 100:2008, 4.3.7). */
const standard = (halfWidth: number): number => halfWidth / Math.sqrt(3);

const rootSumSquare = (...terms: readonly number[]): number => Math.hypot(...terms);

/** The reference bench's design values: 20 mΩ shunt, ×20 amplifier, 100 kΩ/33 kΩ dividers, 10 bits over 4.096 V. */
const shuntOhms = 0.02;
const gain = 20;
const dividerRatio = (100 + 33) / 33;
const stepVolts = 4.096 / 1024;
const ampsPerStep = stepVolts / (shuntOhms * gain);
const voltsPerStep = stepVolts * dividerRatio;

/** Part tolerances that the design allows: 1 % resistors and shunt, 0.2 % reference, 0.5 mV amplifier input offset. */
const resistorTolerance = 0.01;
const referenceTolerance = 0.002;
const amplifierOffsetVolts = 0.0005;
/** Absolute accuracy of the converter after its offset is taken off, in steps (ATmega328P data sheet, ADC characteristics, typical 2). */
const converterSteps = 2;

/**
 * Standard uncertainty of a bench that runs on design values: what the tolerances of its parts allow, combined by root
 * sum square (JCGM 100:2008, 5.1.2). Relative parts without unit, offsets in amps and volts.
 */
export const designUncertainty: TesterUncertainty = {
  amps: {
    // Shunt, the two gain resistors and the reference each scale the reading.
    relative: rootSumSquare(
      standard(resistorTolerance),
      standard(resistorTolerance),
      standard(resistorTolerance),
      standard(referenceTolerance),
    ),
    offset: rootSumSquare(
      standard(converterSteps * ampsPerStep),
      standard(amplifierOffsetVolts / shuntOhms),
      readingNoiseCounts * ampsPerStep,
    ),
  },
  volts: {
    // Only the upper resistor's share (100 of 133) of the two tolerances moves the ratio.
    relative: rootSumSquare(
      standard((resistorTolerance * 100) / 133),
      standard((resistorTolerance * 100) / 133),
      standard(referenceTolerance),
    ),
    offset: rootSumSquare(standard(converterSteps * voltsPerStep), readingNoiseCounts * voltsPerStep),
  },
};

/** What calibration cannot take out of the converter: its integral non-linearity (data sheet, typical 0.5 step), its step, its noise. */
const residualSteps = rootSumSquare(standard(0.5), 1 / Math.sqrt(12), readingNoiseCounts);

/**
 * Standard uncertainty after calibration: gains and offsets are corrected, the converter's shape and the references stay.
 * The references are taken as a 0.5 % meter for volts and a 1 % resistor for amps, until a bench carries its own figures.
 */
export const calibratedUncertainty: TesterUncertainty = {
  amps: { relative: standard(resistorTolerance), offset: residualSteps * ampsPerStep },
  volts: { relative: standard(0.005), offset: residualSteps * voltsPerStep },
};

function expandedOf({ relative, offset }: TesterUncertainty["amps"]): TesterUncertainty["amps"] {
  const expanded = (value: number): number => Number((coverageFactor * value).toPrecision(3));
  return { relative: expanded(relative), offset: expanded(offset) };
}

/**
 * The uncertainty that belongs into the readings of a bench: what its own calibration has stated, else what a calibration of the
 * usual kind or the design allows. Standard ones go in; expanded with k = 2 it comes out, as the findings read it.
 */
export function benchUncertainty(calibratedAt: string | undefined, stated?: TesterUncertainty): TesterUncertainty {
  const usual = calibratedAt === undefined ? designUncertainty : calibratedUncertainty;
  const { amps, volts } = calibratedAt === undefined ? usual : (stated ?? usual);
  return { amps: expandedOf(amps), volts: expandedOf(volts) };
}
