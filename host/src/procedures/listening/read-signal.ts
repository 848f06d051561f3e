import { type LampActivity, type LitTime, lampActivity } from "./lamp-activity.js";
import { onIntervals } from "./on-intervals.js";
import { signalLevels } from "./signal-levels.js";
import { type Stretch, signalStretches } from "./signal-stretches.js";
import type { SignalWindow } from "./signal-window.js";

/** Pulse-width modulation: how a control module dims a lamp. `hertz` is absent where the pulses are faster than the windows tell. */
export interface PulseWidth {
  readonly hertz?: number;
  readonly duty: number;
}

/** One thing that the wire does. */
export type SignalPart =
  /** On from beginning to end. */
  | { readonly kind: "steady" }
  | { readonly kind: "flashing"; readonly rate: NonNullable<LampActivity["flash"]> }
  /** On and off as a person switches; a pedal, or any other switch. */
  | { readonly kind: "switched"; readonly times: number; readonly onNow: boolean };

/** One level of brightness and what it does: `pulses` where it is made by pulse-width modulation. */
export interface SignalLayer {
  readonly level: "only" | "dim" | "full";
  readonly pulses?: PulseWidth;
  readonly parts: readonly SignalPart[];
}

/** What a wire carries. No layer: nothing came. */
export interface SignalReading {
  readonly fromMs: number;
  readonly toMs: number;
  /** Volts while on, undefined where nothing came. */
  readonly onVolts?: number;
  /** One layer, or two: a lamp that is dimmed by pulses for one function and full on for another. */
  readonly layers: readonly SignalLayer[];
  /** When a lamp on the wire would be lit, dim or full. */
  readonly lit: readonly LitTime[];
  /** When it would be full on beside being dim at other times. */
  readonly full: readonly LitTime[];
}

/** Two modulated levels are told apart by more than this. */
const dutyStep = 0.15;

/** What the windows of one wire, in order, say about what it carries. Pure; call it again as more windows come. */
export function readSignal(windows: readonly SignalWindow[]): SignalReading {
  const fromMs = windows[0]?.atMs ?? 0;
  const last = windows.at(-1);
  const toMs = last === undefined ? fromMs : last.atMs + last.lengthMs;
  const levels = signalLevels(windows);
  if (levels === undefined) return { fromMs, toMs, layers: [], lit: [], full: [] };
  const stretches = signalStretches(onIntervals(windows, levels));
  const duties = stretches.map(({ duty }) => duty).filter((duty) => duty > 0);
  const most = Math.max(...duties, 0);
  const lit = litTimes(stretches, 0);
  const isTwofold = duties.some((duty) => duty < most - dutyStep);
  const full = isTwofold ? litTimes(stretches, most - dutyStep) : [];
  const layer = (level: SignalLayer["level"], times: readonly LitTime[], of: readonly Stretch[]): SignalLayer => {
    const pulses = pulsesOf(of);
    const parts = partsOf(lampActivity(times, fromMs, toMs));
    return { level, ...(pulses === undefined ? {} : { pulses }), parts };
  };
  const on = stretches.filter(({ duty }) => duty > 0);
  const layers = isTwofold
    ? [
        layer(
          "dim",
          lit,
          on.filter(({ duty }) => duty < most - dutyStep),
        ),
        layer(
          "full",
          full,
          on.filter(({ duty }) => duty >= most - dutyStep),
        ),
      ]
    : [layer("only", lit, on)];
  return { fromMs, toMs, onVolts: levels.highVolts, layers, lit, full };
}

/** Times above a duty, neighbouring stretches put together. */
function litTimes(stretches: readonly Stretch[], above: number): readonly LitTime[] {
  const times: LitTime[] = [];
  for (const { fromMs, toMs, duty, whole } of stretches) {
    if (duty <= above) continue;
    const previous = times.at(-1);
    if (previous !== undefined && fromMs - previous.toMs < 1e-9) {
      times[times.length - 1] = { fromMs: previous.fromMs, toMs, whole: previous.whole && whole };
    } else times.push({ fromMs, toMs, whole });
  }
  return times;
}

/** Duty and frequency of the modulated stretches together, weighted by their length; undefined where there are none. */
function pulsesOf(stretches: readonly Stretch[]): PulseWidth | undefined {
  const dimmed = stretches.filter(({ duty }) => duty < 1);
  const weigh = (of: readonly Stretch[], value: (stretch: Stretch) => number): number => {
    const lengthMs = of.reduce((sum, one) => sum + one.toMs - one.fromMs, 0);
    return of.reduce((sum, one) => sum + value(one) * (one.toMs - one.fromMs), 0) / lengthMs;
  };
  if (dimmed.length === 0) return undefined;
  const timed = dimmed.filter(({ hertz }) => hertz !== undefined);
  const duty = weigh(dimmed, (one) => one.duty);
  return timed.length < dimmed.length ? { duty } : { duty, hertz: weigh(timed, (one) => one.hertz ?? 0) };
}

function partsOf({ flash, held, throughout, onAtEnd }: LampActivity): readonly SignalPart[] {
  if (throughout) return [{ kind: "steady" }];
  const parts: SignalPart[] = [];
  if (flash !== undefined) parts.push({ kind: "flashing", rate: flash });
  if (held.length > 0)
    parts.push({ kind: "switched", times: held.length, onNow: onAtEnd && held.at(-1)?.whole === false });
  return parts;
}
