import type { EmulatedBench } from "../emulated-bench.js";

/** Most emulated time in one go, so that bytes and changes from outside are seen in between. */
const MOST_SLICE_MS = 20;
/** A lag beyond this is given up: emulated time then stands still for the rest of it. */
const MOST_LAG_MS = 250;

/**
 * Keeps a bench's emulated time at the wall clock: never ahead of it, and behind it only as long as the machine is
 * too slow. Whoever owns it calls `slice` every millisecond or few.
 */
export class RealPace {
  readonly #bench: EmulatedBench;
  readonly #wallMs: () => number;
  #offsetMs: number;

  constructor(bench: EmulatedBench, wallMs: () => number) {
    this.#bench = bench;
    this.#wallMs = wallMs;
    this.#offsetMs = bench.nowMs - wallMs();
  }

  /** Runs the bench up to now, or one slice towards it. Says whether there is more to catch up. */
  slice(): { readonly behind: boolean } {
    const targetMs = this.#wallMs() + this.#offsetMs;
    const lagMs = targetMs - this.#bench.nowMs;
    if (lagMs > MOST_LAG_MS) this.#offsetMs -= lagMs - MOST_LAG_MS;
    const untilMs = this.#bench.nowMs + Math.min(lagMs, MOST_SLICE_MS);
    this.#bench.runUntilMs(untilMs);
    return { behind: lagMs > MOST_SLICE_MS };
  }
}
