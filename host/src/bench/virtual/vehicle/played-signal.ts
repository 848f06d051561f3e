import { VirtualBenchError } from "../virtual-bench-error.js";

/** What a wire does once it is switched on; each begins with its lit part. */
export type Waveform =
  | { readonly kind: "steady" }
  /** A flasher: so many a minute, lit for this share of each cycle. */
  | { readonly kind: "flashing"; readonly perMinute: number; readonly onShare: number }
  /** Pulse-width modulation: how a control module dims a lamp. */
  | { readonly kind: "pulses"; readonly hertz: number; readonly duty: number }
  /** A pedal that is pressed and released by turns. */
  | { readonly kind: "pedal"; readonly onMs: number; readonly offMs: number };

/** A pin of a tow vehicle's outlet. Several of one pin join as diodes do: the highest wins. */
export interface PlayedPin {
  readonly pin: string;
  readonly waveform: Waveform;
  /** While on, before any load; 12.6 V unless given. */
  readonly volts?: number;
  /** Of the tow vehicle's wiring to this pin; 0.1 Ω unless given. */
  readonly ohms?: number;
}

/** One of the vehicle's own functions (`tail`, `stop`, …) as its switches and modules work it. */
export interface PlayedFunction {
  readonly function: string;
  readonly waveform: Waveform;
}

interface Cycle {
  readonly seconds: number;
  readonly onShare: number;
}

/** Undefined for what never changes. */
function cycleOf(waveform: Waveform): Cycle | undefined {
  switch (waveform.kind) {
    case "steady":
      return undefined;
    case "flashing":
      return { seconds: 60 / waveform.perMinute, onShare: waveform.onShare };
    case "pulses":
      return { seconds: 1 / waveform.hertz, onShare: waveform.duty };
    case "pedal": {
      const cycleMs = waveform.onMs + waveform.offMs;
      return { seconds: cycleMs / 1000, onShare: waveform.onMs / cycleMs };
    }
  }
}

/** Whether the wire is on, so many seconds after it was begun to be played. */
export function isOnAt(waveform: Waveform, seconds: number): boolean {
  const cycle = cycleOf(waveform);
  if (cycle === undefined) return true;
  const cycles = seconds / cycle.seconds;
  return cycles - Math.floor(cycles) < cycle.onShare;
}

/** When it next goes on or off, strictly after the given moment; Infinity for never. */
export function nextEdgeAfter(waveform: Waveform, seconds: number): number {
  const cycle = cycleOf(waveform);
  if (cycle === undefined) return Number.POSITIVE_INFINITY;
  const whole = Math.floor(seconds / cycle.seconds);
  const edges = [whole + cycle.onShare, whole + 1, whole + 1 + cycle.onShare].map((cycles) => cycles * cycle.seconds);
  // An edge is not found again through the last digit of its own moment.
  return edges.find((edge) => edge > seconds + 1e-9) ?? (whole + 2) * cycle.seconds;
}

/** Throws `bad-setting` for a waveform that no lamp and no module makes. */
export function requireWaveform(waveform: Waveform): void {
  switch (waveform.kind) {
    case "steady":
      return;
    case "flashing":
      requireWithin("Flashes a minute", waveform.perMinute, 10, 600);
      requireWithin("The lit share of a flash", waveform.onShare, 0.01, 0.99);
      return;
    case "pulses":
      requireWithin("Pulses a second", waveform.hertz, 10, 2000);
      requireWithin("The duty of pulses", waveform.duty, 0.01, 0.99);
      return;
    case "pedal":
      requireWithin("Milliseconds of a pressed pedal", waveform.onMs, 50, 60_000);
      requireWithin("Milliseconds of a released pedal", waveform.offMs, 50, 60_000);
  }
}

/** Throws `bad-setting` unless the value lies within. */
export function requireWithin(what: string, value: number, least: number, most: number): void {
  if (value >= least && value <= most) return;
  throw new VirtualBenchError("bad-setting", `${what} must lie between ${least} and ${most}, not ${value}.`);
}
