import { performance } from "node:perf_hooks";
import type { Clock, Timer } from "./port.js";

/** The machine's own monotonic time, for ports whose bench lives in it. */
export const wallClock: Clock = {
  nowMs: () => performance.now(),
  after(delayMs: number, run: () => void): Timer {
    const timer = setTimeout(run, delayMs);
    return { cancel: () => clearTimeout(timer) };
  },
};
