import { BOARD } from "@pinwalk/host/bench/virtual/board/board-values.js";
import { defined, slotShare } from "./firmware-constants.js";

/** What the guide derives, computed once more from the design values, the firmware's constants and stated data. */
const { divider, referenceVolts, shuntOhms, fineGain, lowSource, path, adcNoiseCounts } = BOARD;

export const sourceOhms = (divider.upperOhms * divider.lowerOhms) / (divider.upperOhms + divider.lowerOhms);
export const countVolts = (referenceVolts / 1024) * ((divider.upperOhms + divider.lowerOhms) / divider.lowerOhms);
export const countAmps = referenceVolts / 1024 / (shuntOhms * fineGain);
export const conversionMicroseconds = (13 * 128) / 16;
export const ownSamples = 32;
export const otherSamples = defined("low.c", "OTHERS_SAMPLES");

/** Standard deviation of one conversion, counts: the noise and the quantizing (a count's width over √12). */
const conversionCounts = Math.sqrt(adcNoiseCounts ** 2 + 1 / 12);

/** Standard deviation of a mean of this many conversions, counts. */
export const meanCounts = (samples: number) => conversionCounts / Math.sqrt(samples);

export const pinMeanVolts = meanCounts(ownSamples) * countVolts;
export const otherMeanVolts = meanCounts(otherSamples) * countVolts;

/** Current samples while the looks at the driven pin and at this many others last: 4 of 16 slots to their 10. */
export const lookedSamples = (others: number) =>
  Math.floor(((2 + 2 * ownSamples + others * (1 + 2 * otherSamples)) * 4) / 10);
export const currentMeanAmps = (others: number) => meanCounts(lookedSamples(others)) * countAmps;

/** Mean count that a true zero shows, as nothing below zero is counted: noise over half a count, over one and a half. */
export const zeroCounts = tail(0.5 / adcNoiseCounts) + tail(1.5 / adcNoiseCounts);

/** Chance that a normal variable exceeds z standard deviations (Abramowitz and Stegun 26.2.17, error under 1e-7). */
function tail(z: number): number {
  const t = 1 / (1 + 0.2316419 * z);
  const poly = t * (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  return (Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI)) * poly;
}

/** Standard deviation of a conductor's resistance from near and far volts at this current. */
export const driveOhms = (amps: number) => (Math.SQRT2 * pinMeanVolts) / amps;

/** Standard deviation of a small resistance from the low-current check. */
export const lowOhms = (pinMeanVolts / lowSource.volts) * lowSource.ohms;

/* A watch: every second conversion is the line's; a gap counts by tenths of a millisecond, cut off at both ends. */
const streamMs = (2 * conversionMicroseconds) / 1000;
const leastGapMs = defined("stream.c", "LEAST_GAP_TENTHS") / 10;
/** Interruptions of at least this many milliseconds are always counted, of at most that many never. */
export const alwaysCountedMs = Math.ceil(Math.ceil((leastGapMs + 0.1) / streamMs) * streamMs * 10) / 10;
export const neverCountedMs = Math.floor(Math.floor((leastGapMs - 0.1) / streamMs) * streamMs * 10) / 10;

/* Stated data of parts, from memory of their sheets. */
const holdFarads = 14e-12;
const strayFarads = 60e-12;
const sampleSeconds = 1.5 * 8e-6;
const leadHenries = 2e-6;
const limitSeconds = BOARD.fastLimitMicroseconds * 1e-6;
const pathOhms = path.supplyOhms + path.relayOhms + shuntOhms + path.driveSwitchOhms;

/** Counts of error left of the last channel's voltage, with a capacitor at the divider, when channels alternate. */
function heldOverCounts(farads: number): number {
  const all = holdFarads + strayFarads + farads;
  const volts = ((referenceVolts * holdFarads) / all) * Math.exp(-sampleSeconds / (sourceOhms * all));
  return volts / (referenceVolts / 1024);
}

/** The same after another input was selected and one conversion thrown away. */
function selectedCounts(farads: number): number {
  const common = holdFarads + strayFarads;
  const volts =
    ((referenceVolts * common) / (common + farads)) *
    Math.exp((-conversionMicroseconds * 1e-6) / (sourceOhms * (common + farads)));
  return volts / (referenceVolts / 1024);
}

/** Gate-source volts of a drive channel that is on: 2.2 kΩ and, behind a diode, 10 kΩ pulling up against 220 Ω. */
function gateVolts(supplyVolts: number): number {
  const level = (supplyVolts / 2200 + (supplyVolts - 0.7) / 10_000) / (1 / 220 + 1 / 2200 + 1 / 10_000);
  return supplyVolts - level - 0.7;
}

/** Share of the low source's volts that is missing in the mean of two looks in a row that differ by one count. */
function leftShare(farads: number): number {
  const lookSeconds =
    ((2 + defined("low.c", "PIN_SAMPLES")) / slotShare("pattern_armed_look", "SLOT_LOOK")) *
    conversionMicroseconds *
    1e-6;
  const left = Math.exp(-lookSeconds / (sourceOhms * farads));
  return ((countVolts / (1 - left)) * (1 + left)) / 2 / lowSource.volts;
}

const limitAmps = (referenceVolts * 13) / (13 + 9.1) / (shuntOhms * 4.02);
const shortedAmps = BOARD.fastLimitAmps + (12.8 / leadHenries) * limitSeconds;

/** Rows of the guide's engineering table: label → value as it has to stand there. */
export const engineering: ReadonlyMap<string, string> = new Map([
  ["far load at 12.8 V", `${(12.8 ** 2 / 47).toFixed(1)} W`],
  ["far load at 16 V", `${(16 ** 2 / 47).toFixed(1)} W`],
  ["supply at which a far load reaches its 5 W", `${Math.sqrt(5 * 47).toFixed(1)} V`],
  ["shunt at 10 A", `${(100 * shuntOhms).toFixed(1)} W`],
  [
    "switch at 10 A, cold (20 mΩ) and hot (30 mΩ)",
    `${(100 * path.driveSwitchOhms).toFixed(1)} W, ${(100 * 0.03).toFixed(1)} W`,
  ],
  ["switch at 30 A until the latch, 3 µs", `${(900 * path.driveSwitchOhms * limitSeconds * 1e6).toFixed(0)} µJ`],
  ["dead short at the end, by the path's 0.10 Ω", `${(12.8 / pathOhms).toFixed(0)} A`],
  ["dead short through 2 µH: time to 30 A", `${((leadHenries * 30) / 12.8 / 1e-6).toFixed(1)} µs`],
  ["dead short through 2 µH: current when the latch acts", `${shortedAmps.toFixed(0)} A`],
  ["energy of 2 µH at that current", `${(0.5 * leadHenries * shortedAmps ** 2 * 1000).toFixed(1)} mJ`],
  [
    "gate-source voltage, on, at 10, 12.8 and 16 V",
    `${[10, 12.8, 16].map((volts) => gateVolts(volts).toFixed(1)).join(", ")} V`,
  ],
  [
    "threshold, and the current that trips",
    `${((referenceVolts * 13) / 22.1).toFixed(2)} V, ${limitAmps.toFixed(1)} A`,
  ],
  ["converter's end on the ×20 amplifier", `${(referenceVolts / (shuntOhms * fineGain)).toFixed(2)} A`],
  ["low-current channel into a short", `${((lowSource.volts / lowSource.ohms) * 1000).toFixed(1)} mA`],
  ["low-current channel into nothing but its divider", `${((lowSource.volts * 133) / 134).toFixed(2)} V`],
  ["full scale of a pin", `${(countVolts * 1024).toFixed(1)} V`],
  ["source resistance of a divider", `${(sourceOhms / 1000).toFixed(1)} kΩ`],
  ["held over from the channel before, no capacitor", `${heldOverCounts(0).toFixed(1)} count`],
  ["held over from the channel before, 220 pF", `${heldOverCounts(220e-12).toFixed(1)} counts`],
  ["left of the input before after the thrown-away conversion, 1 nF", `${selectedCounts(1e-9).toFixed(1)} counts`],
  ["left of 4.4 V when two looks of the low-current check agree, 100 nF", `${(100 * leftShare(100e-9)).toFixed(1)} %`],
]);

/** Rows of the guide's quality table: label → value. Standard deviations, so a difference that is seen is 2 to 3 of them. */
export const quality: ReadonlyMap<string, string> = new Map([
  ["one count of a pin", `${(countVolts * 1000).toFixed(1)} mV`],
  ["driven or fed pin, 32 conversions", `${(pinMeanVolts * 1000).toFixed(1)} mV`],
  ["other pins, 8 conversions", `${(otherMeanVolts * 1000).toFixed(1)} mV`],
  ["one count of the current", `${(countAmps * 1000).toFixed(0)} mA`],
  ["settled current, three other pins", `${(currentMeanAmps(3) * 1000).toFixed(1)} mA`],
  ["reading of no current at all", `${(zeroCounts * countAmps * 1000).toFixed(1)} mA`],
  ["conductor in a cable check, 0.27 A", `${(driveOhms(0.27) * 1000).toFixed(0)} mΩ`],
  ["conductor under a 2.1 A lamp", `${(driveOhms(2.1) * 1000).toFixed(1)} mΩ`],
  ["small resistance by the low-current check", `${lowOhms.toFixed(1)} Ω`],
  [
    "reading of a perfect short by the low-current check",
    `${(((zeroCounts * countVolts) / lowSource.volts) * lowSource.ohms).toFixed(1)} Ω`,
  ],
  ["conversions of a watched line, one every", `${streamMs.toFixed(2)} ms`],
  ["interruption that is always counted, from", `${alwaysCountedMs.toFixed(1)} ms`],
  ["interruption that is never counted, up to", `${neverCountedMs.toFixed(1)} ms`],
]);
