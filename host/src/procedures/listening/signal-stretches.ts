import type { Interval } from "./on-intervals.js";

/** A time during which a wire kept one level: off, full on, or pulse-width modulated in between. */
export interface Stretch {
  readonly fromMs: number;
  readonly toMs: number;
  /** 0 off, 1 full on, else the duty of the pulses. */
  readonly duty: number;
  /** Pulses per second; absent where there are none, or where they come too fast for the bench's windows. */
  readonly hertz?: number;
  readonly whole: boolean;
}

/** Longest part of a pulse: anything that stays longer is a lamp switched by a person or a flasher. 25 ms: 40 Hz at the least. */
const longestPulsePartMs = 25;
/** Fewer pulses than this are contact bounce, and count as what lies around them. */
const leastPulses = 3;
/** A change of duty by more than this is another level. */
const dutyStep = 0.15;

const lengthOf = ({ fromMs, toMs }: Pick<Interval, "fromMs" | "toMs">): number => toMs - fromMs;
const isPure = ({ onShare }: Interval): boolean => onShare === 0 || onShare === 1;
const isPulsePart = (interval: Interval): boolean => isPure(interval) && lengthOf(interval) <= longestPulsePartMs;

/** Puts the pulses of a modulated wire together, so that what remains is what a person would call on, off and dimmed. */
export function signalStretches(intervals: readonly Interval[]): readonly Stretch[] {
  const stretches: Stretch[] = [];
  for (let at = 0; at < intervals.length; ) {
    const interval = intervals[at];
    if (interval === undefined) break;
    let end = at;
    while (end < intervals.length && isPulsePart(intervals[end] ?? interval)) end += 1;
    if (end > at) {
      stretches.push(...pulsed(intervals.slice(at, end)));
      at = end;
      continue;
    }
    stretches.push(stretch(interval, interval, interval.onShare, interval.hertz));
    at += 1;
  }
  return merged(stretches);
}

function stretch(first: Interval, last: Interval, duty: number, hertz?: number): Stretch {
  const { fromMs } = first;
  const { toMs } = last;
  const whole = first.whole && last.whole;
  return { fromMs, toMs, duty, whole, ...(hertz === undefined ? {} : { hertz }) };
}

interface Cycle {
  readonly parts: readonly Interval[];
  readonly onMs: number;
  readonly lengthMs: number;
}

function cyclesOf(parts: readonly Interval[]): readonly Cycle[] {
  const cycles: Cycle[] = [];
  for (let at = 0; at + 1 < parts.length; at += 2) {
    const pair = parts.slice(at, at + 2);
    const onMs = pair.reduce((sum, part) => sum + part.onShare * lengthOf(part), 0);
    cycles.push({ parts: pair, onMs, lengthMs: pair.reduce((sum, part) => sum + lengthOf(part), 0) });
  }
  return cycles;
}

function pulsed(parts: readonly Interval[]): readonly Stretch[] {
  const cycles = cyclesOf(parts);
  const last = parts.at(-1);
  if (cycles.length < leastPulses || last === undefined) {
    // Bounce: one level, that of the longer side.
    const onMs = parts.reduce((sum, part) => sum + part.onShare * lengthOf(part), 0);
    const allMs = parts.reduce((sum, part) => sum + lengthOf(part), 0);
    const first = parts[0];
    return first === undefined || last === undefined ? [] : [stretch(first, last, onMs > allMs / 2 ? 1 : 0)];
  }
  const groups: Cycle[][] = [];
  for (const cycle of cycles) {
    const group = groups.at(-1);
    if (group !== undefined && Math.abs(dutyOf(group) - dutyOf([cycle])) <= dutyStep) group.push(cycle);
    else groups.push([cycle]);
  }
  return groups.map((group, index) => {
    const first = group[0]?.parts[0] ?? last;
    const end = index === groups.length - 1 ? last : (group.at(-1)?.parts.at(-1) ?? last);
    const lengthMs = group.reduce((sum, cycle) => sum + cycle.lengthMs, 0);
    return stretch(first, end, dutyOf(group), (group.length * 1000) / lengthMs);
  });
}

function dutyOf(cycles: readonly Cycle[]): number {
  const onMs = cycles.reduce((sum, cycle) => sum + cycle.onMs, 0);
  return onMs / cycles.reduce((sum, cycle) => sum + cycle.lengthMs, 0);
}

const isDimmed = ({ duty }: Stretch): boolean => duty > 0 && duty < 1;

/** Neighbours of one level become one; a single odd pulse at the edge of a modulated stretch belongs to it. */
function merged(stretches: readonly Stretch[]): readonly Stretch[] {
  const result: Stretch[] = [];
  for (const next of stretches) {
    const previous = result.at(-1);
    if (previous === undefined || !belongTogether(previous, next)) {
      result.push(next);
      continue;
    }
    const [a, b] = [lengthOf(previous), lengthOf(next)];
    const longer = a >= b ? previous : next;
    const hertz = longer.hertz ?? previous.hertz ?? next.hertz;
    const duty = isDimmed(longer) ? longer.duty : (previous.duty * a + next.duty * b) / (a + b);
    const whole = previous.whole && next.whole;
    result[result.length - 1] = {
      fromMs: previous.fromMs,
      toMs: next.toMs,
      duty,
      whole,
      ...(hertz === undefined ? {} : { hertz }),
    };
  }
  return result;
}

function belongTogether(a: Stretch, b: Stretch): boolean {
  if (a.duty === b.duty) return true;
  const shorter = lengthOf(a) < lengthOf(b) ? a : b;
  if (isDimmed(a) && isDimmed(b)) {
    return Math.abs(a.duty - b.duty) <= dutyStep || lengthOf(shorter) <= 2 * longestPulsePartMs;
  }
  return (isDimmed(a) || isDimmed(b)) && lengthOf(shorter) <= longestPulsePartMs;
}
