import { readingNoiseCounts } from "../reading-noise.js";

/** 10 bits over the 4.096 V reference; behind the 100 kΩ / 33 kΩ dividers, and 0.4 V/A (design values). */
const voltsPerCount = (4.096 / 1024) * (133 / 33);
const ampsPerCount = 4.096 / 1024 / 0.4;
/** The converter's shape (data sheet, typical 0.5 count, rectangular), its step and its noise: what no line takes out of a reading. */
const readingCounts = Math.hypot(0.5 / Math.sqrt(3), 1 / Math.sqrt(12), readingNoiseCounts);

/** Standard uncertainty of one reading that calibration cannot mend. */
export const readingUncertainty = { volts: readingCounts * voltsPerCount, amps: readingCounts * ampsPerCount } as const;

/** What each pin sees to ground: its divider, 133 kΩ. */
export const senseOhms = 133_000;

/** Greatest volts and amps that the inputs measure. */
export const greatest = { volts: 16.5, amps: 10 } as const;
