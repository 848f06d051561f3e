import { BOARD, SENSE_OHMS } from "./board-values.js";

const KELVIN_AT_25C = 298.15;
const KELVIN_AT_0C = 273.15;

/**
 * Volts behind the 100 kΩ / 33 kΩ divider, held between the rails by the protection diodes; `gain` is what its resistors make of it.
 *
 *     dividedVolts(12.8) → 3.176
 */
export function dividedVolts(volts: number, gain = 1): number {
  return betweenRails((volts * gain * BOARD.divider.lowerOhms) / SENSE_OHMS);
}

/**
 * Volts at the output of an amplifier on the shunt; it saturates at its rails.
 *
 *     amplifiedVolts(2.1, BOARD.fineGain) → 0.84
 */
export function amplifiedVolts(amps: number, gain: number, offsetVolts = 0): number {
  return betweenRails(amps * BOARD.shuntOhms * gain + offsetVolts);
}

/**
 * Volts at the thermistor's input, by the beta equation.
 *
 *     thermistorVolts(25) → 2.048
 */
export function thermistorVolts(ambientC: number): number {
  const { ohmsAt25C, betaKelvin, pullUpOhms } = BOARD.thermistor;
  const ohms = ohmsAt25C * Math.exp(betaKelvin * (1 / (ambientC + KELVIN_AT_0C) - 1 / KELVIN_AT_25C));
  return (BOARD.referenceVolts * ohms) / (ohms + pullUpOhms);
}

/**
 * Result of a 10-bit conversion with noise added before it is quantised. The ideal converter's first step lies at half
 * a count (data sheet DS40002061, 23.6.3; from memory), so it rounds.
 *
 *     quantised(2.048, 4.096, 0) → 512
 */
export function quantised(volts: number, referenceVolts: number, noiseCounts: number): number {
  const counts = Math.round((volts / referenceVolts) * 1024 + noiseCounts);
  return Math.min(1023, Math.max(0, counts));
}

function betweenRails(volts: number): number {
  return Math.min(BOARD.railVolts, Math.max(0, volts));
}
