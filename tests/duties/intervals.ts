import type { OutputState } from "@pinwalk/host/bench/virtual/output-log.js";
import type { Since } from "./witness.js";

/** A time in which one thing was on without a break. */
export interface Interval {
  readonly fromMs: number;
  readonly toMs: number;
}

export interface Switched extends Interval {
  readonly source: "supply" | "low current";
  readonly channel: number;
}

/** When a state of the outputs held for which `isOn` is true. */
export function intervals(
  log: readonly OutputState[],
  endMs: number,
  isOn: (state: OutputState) => boolean,
): Interval[] {
  const found: Interval[] = [];
  let since: number | undefined;
  for (const state of log) {
    if (isOn(state) && since === undefined) since = state.atMs;
    else if (!isOn(state) && since !== undefined) {
      found.push({ fromMs: since, toMs: state.atMs });
      since = undefined;
    }
  }
  if (since !== undefined) found.push({ fromMs: since, toMs: endMs });
  return found;
}

/** Every time that a channel was on. */
export function switchings(log: readonly OutputState[], endMs: number): Switched[] {
  return Array.from({ length: 8 }, (_, channel) => channel).flatMap((channel) => {
    const bit = 1 << channel;
    const of = (source: Switched["source"], isOn: (state: OutputState) => boolean): Switched[] =>
      intervals(log, endMs, isOn).map((interval) => ({ ...interval, source, channel }));
    return [
      ...of("supply", ({ driveMask }) => (driveMask & bit) !== 0),
      ...of("low current", ({ lowMask }) => (lowMask & bit) !== 0),
    ];
  });
}

/** The value at a moment; the last of those that began then or earlier. */
export function valueAt<Value>(history: readonly Since<Value>[], atMs: number): Value | undefined {
  return history.findLast(({ fromMs }) => fromMs <= atMs)?.value;
}

/** The parts of an interval in which the value is one that `matters`. */
export function partsWith<Value>(
  history: readonly Since<Value>[],
  within: Interval,
  matters: (value: Value) => boolean,
): Interval[] {
  const parts: Interval[] = [];
  for (const [at, { fromMs, value }] of history.entries()) {
    const from = Math.max(fromMs, within.fromMs);
    const to = Math.min(history[at + 1]?.fromMs ?? within.toMs, within.toMs);
    if (to <= from || !matters(value)) continue;
    const last = parts.at(-1);
    if (last !== undefined && last.toMs === from) parts[parts.length - 1] = { fromMs: last.fromMs, toMs: to };
    else parts.push({ fromMs: from, toMs: to });
  }
  return parts;
}

export function overlaps(one: Interval, other: Interval): boolean {
  return one.fromMs < other.toMs && other.fromMs < one.toMs;
}
