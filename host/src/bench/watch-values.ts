import type { PushFields, ReplyFields, RequestFields } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { timing } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { unpackWindows } from "@pinwalk/firmware-protocol/window-packing.js";
import { unitsOf } from "./measurements.js";

export const windowMs = timing.windowMs;

/** One window of a watch: volts, or amps where the current is watched. */
export interface WatchWindow {
  readonly least: number;
  readonly mean: number;
  readonly greatest: number;
  /** How often it rose through the watch's limit in this window. */
  readonly edges: number;
}

/** Consecutive windows, as the bench sends them. */
export interface WatchBlock {
  /** Number of the first window since the watch began, counted from 0; a jump means that blocks were lost. */
  readonly first: number;
  readonly windows: readonly WatchWindow[];
  /** Means over the whole block. Amps are 0 unless driven. */
  readonly amps: number;
  readonly nearVolts: number;
}

/** An interruption that is over. Milliseconds since the first window; length true to 0.25 ms. */
export interface WatchGap {
  readonly atMs: number;
  readonly lengthMs: number;
}

export interface WatchOptions {
  /** `drive` and `low` need the bench armed; `listen` puts nothing on. */
  readonly mode: RequestFields["watch"]["mode"];
  /** Which voltage is followed, or the current (mode `drive` alone). */
  readonly what: RequestFields["watch"]["what"];
  /** Volts or amps under which it counts as interrupted, and through which edges are counted. */
  readonly below: number;
  readonly onBlock?: (block: WatchBlock) => void;
  readonly onGap?: (gap: WatchGap) => void;
}

/** How a watch ended, by the bench's own counts: what the line has lost is in them. */
export interface WatchSummary {
  readonly measurement: number;
  readonly end: ReplyFields["watched"]["end"];
  readonly windows: number;
  /** Windows that the bench itself could not send. */
  readonly droppedWindows: number;
  readonly gaps: number;
  readonly longestGapMs: number;
  readonly totalGapMs: number;
}

export interface Watch {
  readonly measurement: number;
  /** Settles when the watch is over, for whatever reason; rejects when the bench is lost. */
  readonly ended: Promise<WatchSummary>;
}

export function watchBlockOf(fields: PushFields["windows"]): WatchBlock {
  return {
    first: fields.first,
    amps: unitsOf(fields.current),
    nearVolts: unitsOf(fields.near),
    windows: unpackWindows(fields.windows).map(({ least, mean, greatest, edges }) => ({
      least: unitsOf(least),
      mean: unitsOf(mean),
      greatest: unitsOf(greatest),
      edges,
    })),
  };
}

export function watchGapOf(fields: PushFields["gap"]): WatchGap {
  return { atMs: fields.at / 10, lengthMs: fields.length / 10 };
}

export function watchSummaryOf(fields: ReplyFields["watched"]): WatchSummary {
  return {
    measurement: fields.measurement,
    end: fields.end,
    windows: fields.windows,
    droppedWindows: fields.dropped,
    gaps: fields.gaps,
    longestGapMs: fields.longest / 10,
    totalGapMs: fields.total / 10,
  };
}
