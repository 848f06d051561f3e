import type { EmulatedBench } from "../emulated-bench.js";
import { RealPace } from "./real-pace.js";

/** Pauses between slices, ms: while something goes on, and while nothing does. */
const LIVELY_PAUSE_MS = 1;
const QUIET_PAUSE_MS = 4;
const LIVELY_FOR_MS = 50;

export interface RealPaceLoop {
  /** Brings the bench up to now at once: to be called before bytes or changes are given to it. */
  nudge(): void;
  stop(): void;
}

/**
 * Runs a bench at the wall clock until it is stopped. `afterSlice` is called after every slice of a few milliseconds
 * and says whether something is going on, which makes the next slices come faster.
 */
export function startRealPace(bench: EmulatedBench, afterSlice: () => boolean): RealPaceLoop {
  const pace = new RealPace(bench, () => performance.now());
  let livelyUntil = 0;
  let timer: NodeJS.Timeout | undefined;
  let immediate: NodeJS.Immediate | undefined;
  let stopped = false;
  const slice = () => {
    const { behind } = pace.slice();
    if (afterSlice()) livelyUntil = performance.now() + LIVELY_FOR_MS;
    return behind;
  };
  const loop = () => {
    if (stopped) return;
    const behind = slice();
    if (stopped) return;
    if (behind) immediate = setImmediate(loop);
    else timer = setTimeout(loop, performance.now() < livelyUntil ? LIVELY_PAUSE_MS : QUIET_PAUSE_MS);
  };
  loop();
  return {
    nudge: () => {
      if (stopped) return;
      slice();
      livelyUntil = performance.now() + LIVELY_FOR_MS;
    },
    stop: () => {
      stopped = true;
      clearTimeout(timer);
      clearImmediate(immediate);
    },
  };
}
