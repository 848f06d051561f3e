import type { SignalLevels } from "./signal-levels.js";
import type { SignalWindow } from "./signal-window.js";

/** A time during which a wire was on, off, or changed faster than its windows can follow; `onShare` is 1, 0 or in between. */
export interface Interval {
  readonly fromMs: number;
  readonly toMs: number;
  readonly onShare: number;
  /** Pulses per second within it, where it changed that fast and somebody counted. */
  readonly hertz?: number;
  /** Whether it began and ended while the bench was listening. */
  readonly whole: boolean;
}

/** So many windows in a row with both levels in them: the wire changes more than once a window, or as good as. */
const fastRunWindows = 6;

type Kind = "on" | "off" | "mixed";

function kindOf(window: SignalWindow, { lowVolts, highVolts }: SignalLevels): Kind {
  const half = (lowVolts + highVolts) / 2;
  if (window.minVolts > half) return "on";
  return window.maxVolts < half ? "off" : "mixed";
}

function onShareOf({ meanVolts }: SignalWindow, { lowVolts, highVolts }: SignalLevels): number {
  return Math.min(1, Math.max(0, (meanVolts - lowVolts) / (highVolts - lowVolts)));
}

/** Collects edges into intervals that follow one another without a gap. */
class IntervalBuilder {
  readonly intervals: Interval[] = [];
  #from: number;

  constructor(
    fromMs: number,
    public isOn: boolean,
  ) {
    this.#from = fromMs;
  }

  edgeAt(atMs: number): void {
    this.#close(atMs, this.isOn ? 1 : 0);
    this.isOn = !this.isOn;
  }

  fast(fromMs: number, toMs: number, onShare: number, hertz: number | undefined, isOnAfter: boolean): void {
    this.#close(fromMs, this.isOn ? 1 : 0);
    this.#close(toMs, onShare, hertz);
    this.isOn = isOnAfter;
  }

  end(atMs: number): readonly Interval[] {
    this.#close(atMs, this.isOn ? 1 : 0);
    return this.intervals.map((interval, index, all) => ({ ...interval, whole: index > 0 && index < all.length - 1 }));
  }

  #close(atMs: number, onShare: number, hertz?: number): void {
    const counted = hertz === undefined ? {} : { hertz };
    if (atMs > this.#from) this.intervals.push({ fromMs: this.#from, toMs: atMs, onShare, ...counted, whole: false });
    this.#from = Math.max(atMs, this.#from);
  }
}

/**
 * When the wire was on and when it was off. A window that has both levels in it holds an edge; its mean says where: a wire that
 * comes on and stands at 25 % of the mean between its levels has been on for the last quarter of the window.
 * Exact as long as a window holds one edge; a short pulse or gap within one window is put in its middle, with its true length.
 */
export function onIntervals(windows: readonly SignalWindow[], levels: SignalLevels): readonly Interval[] {
  const first = windows[0];
  const last = windows.at(-1);
  if (first === undefined || last === undefined) return [];
  const kinds = windows.map((window) => kindOf(window, levels));
  const firstPure = kinds.find((kind) => kind !== "mixed");
  const leading = kinds[0] === "mixed" ? mixedRun(kinds, 0) : 0;
  const startsOn = leading % 2 === 1 ? firstPure === "off" : firstPure === "on";
  const builder = new IntervalBuilder(first.atMs, startsOn);
  for (let at = 0; at < windows.length; at += 1) {
    const window = windows[at];
    if (window === undefined) break;
    const kind = kinds[at];
    if (kind !== "mixed") {
      if ((kind === "on") !== builder.isOn) builder.edgeAt(window.atMs);
      continue;
    }
    const run = mixedRun(kinds, at);
    if (run >= fastRunWindows) {
      const fast = windows.slice(at, at + run);
      const share = fast.reduce((sum, one) => sum + onShareOf(one, levels), 0) / run;
      const end = fast.at(-1) ?? window;
      builder.fast(window.atMs, end.atMs + end.lengthMs, share, risesPerSecond(fast), kinds[at + run] === "on");
      at += run - 1;
      continue;
    }
    placeEdges(builder, window, onShareOf(window, levels), kinds[at + 1]);
  }
  return builder.end(last.atMs + last.lengthMs);
}

function risesPerSecond(windows: readonly SignalWindow[]): number | undefined {
  let rises = 0;
  let lengthMs = 0;
  for (const window of windows) {
    if (window.rises === undefined) return undefined;
    rises += window.rises;
    lengthMs += window.lengthMs;
  }
  return (rises * 1000) / lengthMs;
}

function mixedRun(kinds: readonly Kind[], from: number): number {
  let end = from;
  while (kinds[end] === "mixed") end += 1;
  return end - from;
}

function placeEdges(
  builder: IntervalBuilder,
  { atMs, lengthMs }: SignalWindow,
  onShare: number,
  next: Kind | undefined,
): void {
  const onMs = onShare * lengthMs;
  const returns = next !== undefined && next !== "mixed" && (next === "on") === builder.isOn;
  if (!returns) {
    builder.edgeAt(builder.isOn ? atMs + onMs : atMs + lengthMs - onMs);
    return;
  }
  const insideMs = builder.isOn ? lengthMs - onMs : onMs;
  const middleMs = atMs + lengthMs / 2;
  builder.edgeAt(middleMs - insideMs / 2);
  builder.edgeAt(middleMs + insideMs / 2);
}
