/** Standard deviation of one conversion, counts (from memory: half a count is what such a board shows). */
const conversionNoiseCounts = 0.5;
/** The fewest conversions of which a voltage or a settled current is the mean (firmware: pins that are neither driven nor fed). */
const fewestConversions = 8;

/** Noise of a reading, counts of the converter: standard deviation of the mean of its conversions. */
export const readingNoiseCounts = conversionNoiseCounts / Math.sqrt(fewestConversions);
