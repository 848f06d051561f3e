import { type FlashCycle, type FlashRate, flashRate, leastFlashCycles } from "./flash-rate.js";

/** A time during which a lamp on the wire would be lit. */
export interface LitTime {
  readonly fromMs: number;
  readonly toMs: number;
  /** Whether it was seen to come on, and to go off. */
  readonly whole: boolean;
}

/** What the lit times look like: the work of a flasher, of a person, or of neither. */
export interface LampActivity {
  /** The longest run of a flasher. */
  readonly flash?: FlashRate;
  /** When the flasher ran. */
  readonly flashing: readonly { readonly fromMs: number; readonly toMs: number }[];
  /** Lit times that no flasher made. */
  readonly held: readonly LitTime[];
  /** Lit from the first moment to the last. */
  readonly throughout: boolean;
  readonly onAtEnd: boolean;
}

/** A machine keeps its on-time: flashers to a few percent, a person's foot not (common practice, no source). */
const onTimeTolerance = 0.08;
/** Two windows of 2 ms: what an edge can be off at either end. */
const onTimeToleranceMs = 4;
/** 20 to 300 flashes a minute: anything outside is no flasher, broken or not. */
const shortestCycleMs = 200;
const longestCycleMs = 3000;

/** A dimmed lamp's pause between two pulses, cut by the beginning or the end of listening, is not "off"; 40 Hz is the slowest. */
const cutPauseMs = 25;

interface TimedCycle extends FlashCycle {
  readonly index: number;
}

/** Looks for flashers in a row of lit times between two moments, milliseconds. */
export function lampActivity(lit: readonly LitTime[], fromMs: number, toMs: number): LampActivity {
  const runs = flashRuns(lit);
  const taken = new Set(runs.flatMap((run) => run.lit));
  const longest = runs.toSorted((a, b) => b.cycles.length - a.cycles.length)[0];
  const flash = longest === undefined ? undefined : flashRate(longest.cycles);
  const last = lit.at(-1);
  const first = lit[0];
  const onAtEnd = last !== undefined && last.toMs >= toMs - cutPauseMs;
  return {
    ...(flash === undefined ? {} : { flash }),
    flashing: runs.map((run) => ({
      fromMs: lit[run.lit[0] ?? 0]?.fromMs ?? fromMs,
      toMs: lit[run.lit.at(-1) ?? 0]?.toMs ?? toMs,
    })),
    held: lit.filter((_, index) => !taken.has(index)),
    throughout: lit.length === 1 && first !== undefined && first.fromMs <= fromMs + cutPauseMs && onAtEnd,
    onAtEnd,
  };
}

/** Runs of three or more complete cycles with one on-time; the lit time that closes the last cycle counts to the run if it is alike. */
function flashRuns(
  lit: readonly LitTime[],
): readonly { readonly cycles: readonly FlashCycle[]; readonly lit: readonly number[] }[] {
  const runs: TimedCycle[][] = [];
  let run: TimedCycle[] = [];
  const close = (): void => {
    if (run.length >= leastFlashCycles) runs.push(run);
    run = [];
  };
  for (let index = 0; index + 1 < lit.length; index += 1) {
    const cycle = cycleAt(lit, index);
    if (cycle === undefined || (run.length > 0 && !isAlike(cycle, run))) close();
    if (cycle !== undefined) run.push(cycle);
  }
  close();
  return runs.map((cycles) => ({ cycles, lit: litOf(cycles, lit) }));
}

function cycleAt(lit: readonly LitTime[], index: number): TimedCycle | undefined {
  const now = lit[index];
  const next = lit[index + 1];
  if (now === undefined || next === undefined || !now.whole) return undefined;
  const onMs = now.toMs - now.fromMs;
  const offMs = next.fromMs - now.toMs;
  const cycleMs = onMs + offMs;
  return cycleMs < shortestCycleMs || cycleMs > longestCycleMs ? undefined : { index, onMs, offMs };
}

function isAlike({ onMs }: FlashCycle, run: readonly FlashCycle[]): boolean {
  const typical = run.reduce((sum, cycle) => sum + cycle.onMs, 0) / run.length;
  return Math.abs(onMs - typical) <= Math.max(onTimeTolerance * typical, onTimeToleranceMs);
}

function litOf(cycles: readonly TimedCycle[], lit: readonly LitTime[]): readonly number[] {
  const indexes = cycles.map(({ index }) => index);
  const [first, last] = [indexes[0] ?? 0, indexes.at(-1) ?? 0];
  // A flasher that was running when the listening began or ended shows a cut lit time at either end.
  const shortEnough = (index: number): boolean => {
    const one = lit[index];
    const onMs = cycles[0]?.onMs ?? 0;
    if (one === undefined) return false;
    return one.toMs - one.fromMs <= onMs * (1 + onTimeTolerance) + onTimeToleranceMs;
  };
  if (shortEnough(last + 1)) indexes.push(last + 1);
  const before = lit[first - 1];
  if (before !== undefined && !before.whole && shortEnough(first - 1)) indexes.unshift(first - 1);
  return indexes;
}
