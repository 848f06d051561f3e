import type { SignalWindow } from "./signal-window.js";

/** Where a wire stands while it is on and while it is off, volts. */
export interface SignalLevels {
  readonly lowVolts: number;
  readonly highVolts: number;
}

/** Less than this is no signal: leakage of a control module or of a lamp's electronics (common practice, no source). */
export const leastSignalVolts = 3;

/** One spike must not set the level for all. */
const highQuantile = 0.9;

/**
 * The two levels between which a wire changes, or undefined where it never reaches a signal. A wire that never falls under half
 * of its high level is taken to change between 0 V and that level, and to be on throughout.
 */
export function signalLevels(windows: readonly SignalWindow[]): SignalLevels | undefined {
  const top = windows.reduce((most, { maxVolts }) => Math.max(most, maxVolts), 0);
  if (top < leastSignalVolts) return undefined;
  const highs = windows.map(({ maxVolts }) => maxVolts).filter((volts) => volts > top / 2);
  highs.sort((a, b) => a - b);
  const highVolts = highs[Math.min(highs.length - 1, Math.floor(highs.length * highQuantile))] ?? top;
  const bottom = windows.reduce((least, { minVolts }) => Math.min(least, minVolts), highVolts);
  return { lowVolts: bottom < highVolts / 2 ? bottom : 0, highVolts };
}
