import type { End, PushFields, ReplyFields } from "@pinwalk/firmware-protocol/generated/protocol.js";

/** Volts by channel, 0 to 12; undefined for one that was not measured. */
export type ChannelVolts = readonly (number | undefined)[];

export interface RestMeasurement {
  readonly measurement: number;
  readonly supplyVolts: number;
  readonly volts: ChannelVolts;
  /** Only when the far side was asked for. */
  readonly farVolts?: ChannelVolts;
}

export interface LowMeasurement {
  readonly measurement: number;
  readonly volts: ChannelVolts;
  readonly farVolts?: ChannelVolts;
}

export interface DriveMeasurement {
  readonly measurement: number;
  /** Why the drive is over. Every end is a value: a trip is a reading, not a failure of the bench. */
  readonly end: End;
  /** Settled, or the last before the end. */
  readonly amps: number;
  /** After a fast trip at least the limit's 30 A, whether or not a conversion caught it. */
  readonly peakAmps: number;
  readonly settleMs: number;
  readonly samples: number;
  /** Greatest less smallest of the settled window. */
  readonly spreadAmps: number;
  /** While driven. */
  readonly supplyVolts: number;
  readonly volts: ChannelVolts;
  readonly farVolts?: ChannelVolts;
}

/** The driven channel as it goes. */
export interface TracePoint {
  readonly atMs: number;
  readonly amps: number;
  readonly volts: number;
}

export function tracePointOf({ at, current, volts }: PushFields["trace"]): TracePoint {
  return { atMs: at, amps: unitsOf(current), volts: unitsOf(volts) };
}

/** Ends that a drive is meant to have; at every other one the bench went off by itself or was told to. */
export function isOrderlyEnd(end: End): boolean {
  return end === "settled" || end === "time";
}

export function unitsOf(thousandths: number): number {
  return thousandths / 1000;
}

export function channelVoltsOf(millivolts: readonly (number | undefined)[]): ChannelVolts {
  return millivolts.map((one) => (one === undefined ? undefined : unitsOf(one)));
}

/** Amps and volts of a drive's result; the voltages of its channels come separately. */
export function driveMeasurementOf(
  result: ReplyFields["result"],
  voltages: Pick<DriveMeasurement, "volts" | "farVolts">,
): DriveMeasurement {
  return {
    measurement: result.measurement,
    end: result.end,
    amps: unitsOf(result.current),
    peakAmps: unitsOf(result.peak),
    settleMs: result.settle,
    samples: result.samples,
    spreadAmps: unitsOf(result.spread),
    supplyVolts: unitsOf(result.supply),
    ...voltages,
  };
}
