import type { DriveReading, LowCurrentReading, Readings } from "../readings/readings.js";

/** What a healthy circuit would read on this bench: volts and amps with nothing wrong. */
export interface HealthyCircuit {
  readonly pin: string;
  readonly function: string;
  /** Current of the full drive with its band over lamps, wires and supply, amps. */
  readonly amps: { readonly expected: number; readonly low: number; readonly high: number };
  /** Current in the first milliseconds, while filaments are cold, amps. */
  readonly inrushAmps: number;
  /** Every near pin while low current goes into this one, volts. */
  readonly lowVolts: Readonly<Record<string, number>>;
  /** Every near pin while this one is driven, volts. */
  readonly driveVolts: Readonly<Record<string, number>>;
  /** This pin while functions of the vehicle itself are on, volts; keyed by the functions joined with `+`. */
  readonly backFeedVolts: Readonly<Record<string, number>>;
  /** Cable plans: the far pin where the conductor ends. */
  readonly farPin?: string;
  /** Lamps that light when the pin is driven, as `socket.filament`. */
  readonly lights: readonly string[];
}

/** One circuit's measured side beside its healthy side. */
export interface CircuitEvidence {
  readonly healthy: HealthyCircuit;
  readonly restVolts: number | undefined;
  readonly low: LowCurrentReading | undefined;
  readonly drive: DriveReading | undefined;
  /** Lamps a person saw lit while the pin was driven; undefined when nobody looked. */
  readonly seen: readonly string[] | undefined;
}

/** Everything a verdict rule may look at. */
export interface WalkEvidence {
  readonly circuits: readonly CircuitEvidence[];
  readonly readings: Readings;
}

/** Half-width of what the bench can say of a voltage, volts (expanded uncertainty, k = 2). */
export function voltsUncertainty(readings: Readings, volts: number): number {
  const { relative, offset } = readings.tester.uncertainty.volts;
  return offset + relative * Math.abs(volts);
}

/** Half-width of what the bench can say of a current, amps (expanded uncertainty, k = 2). */
export function ampsUncertainty(readings: Readings, amps: number): number {
  const { relative, offset } = readings.tester.uncertainty.amps;
  return offset + relative * Math.abs(amps);
}

/** Volts of an unconnected pin in the low-current check: the source across the bench's own divider. */
function openLowVolts(readings: Readings): number {
  const { lowVolts, lowOhms, senseOhms } = readings.source;
  return (lowVolts * senseOhms) / (senseOhms + lowOhms);
}

/** True when the pin's low-current check finds no way to ground although a healthy circuit would offer one. */
export function lowCheckIsOpen(evidence: CircuitEvidence, readings: Readings): boolean | undefined {
  const volts = evidence.low?.volts[evidence.healthy.pin];
  const healthyVolts = evidence.healthy.lowVolts[evidence.healthy.pin] ?? 0;
  const openVolts = openLowVolts(readings);
  if (volts === undefined || healthyVolts > 0.8 * openVolts) return undefined;
  return volts > 0.9 * openVolts;
}

/** True when the drive of the pin carried next to nothing of what a healthy circuit would take. */
export function driveIsOpen(evidence: CircuitEvidence, readings: Readings): boolean | undefined {
  const { drive, healthy } = evidence;
  if (drive === undefined) return undefined;
  if (drive.tripped) return false;
  const nothing = 3 * ampsUncertainty(readings, 0) + readings.source.volts / readings.source.senseOhms;
  return drive.amps < nothing && drive.amps < 0.1 * healthy.amps.low;
}

/** Share of the low-current source's open voltage from which on a pin looks open although it is not. */
const openShare = 0.9;

/** True where an open wire would read the same as the healthy circuit: it has no load, or one within the bench's error. */
export function loadIsUnseen({ healthy, low }: CircuitEvidence, readings: Readings): boolean {
  const looksOpen = low === undefined || (healthy.lowVolts[healthy.pin] ?? 0) > openShare * readings.source.lowVolts;
  return healthy.amps.low <= 0 && looksOpen;
}

/** Why such a circuit is not judged, in words. */
export function unseenLoadWords({ pin, lights }: HealthyCircuit): string {
  const load = lights.length === 0 ? "leads to no lamp" : "takes too little for this bench to see";
  return `${pin} ${load}: an open wire would read the same.`;
}
