import type { WatchBlock } from "../../bench/watch-values.js";
import { windowMs } from "../../bench/watch-values.js";
import type { SignalWindow } from "./signal-window.js";

/** Three minutes: long enough to try every function of a vehicle, short enough to be read again every second. */
const mostWindows = 90_000;

/** The windows of one wire as they come in, the oldest forgotten. Times are those of the watch, 0 at its first window. */
export class SignalHistory {
  readonly #windows: SignalWindow[] = [];
  #next = 0;
  #lost = 0;

  add({ first, windows }: WatchBlock): void {
    this.#lost += Math.max(0, first - this.#next);
    for (const [index, { least, mean, greatest, edges }] of windows.entries()) {
      this.#windows.push({
        atMs: (first + index) * windowMs,
        lengthMs: windowMs,
        minVolts: least,
        meanVolts: mean,
        maxVolts: greatest,
        rises: edges,
      });
    }
    this.#next = first + windows.length;
    if (this.#windows.length > mostWindows) this.#windows.splice(0, this.#windows.length - mostWindows);
  }

  /** Windows that did not come through. */
  get lostWindows(): number {
    return this.#lost;
  }

  /** Where the newest window ends. */
  get endMs(): number {
    return this.#next * windowMs;
  }

  get windows(): readonly SignalWindow[] {
    return this.#windows;
  }

  /** The newest, so many milliseconds of them. */
  last(lengthMs: number): readonly SignalWindow[] {
    return this.#windows.slice(-Math.ceil(lengthMs / windowMs));
  }
}
