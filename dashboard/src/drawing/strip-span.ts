import { windowMs } from "../live/strip-ring.js";

/** What is drawn lags a little behind what has arrived, so that it can move evenly between two arrivals. */
const lagMs = 50;
/** Further off than this it jumps. */
const mostOffMs = 400;

/** Which part of a strip is in sight at a moment. Where less motion is wanted the paper lies still and is turned like a page. */
export class StripSpan {
  readonly #spanMs: number | null;
  readonly #going: boolean;
  readonly #still = matchMedia("(prefers-reduced-motion: reduce)").matches;
  #edgeMs = 0;
  #atMs: number | undefined;

  constructor(spanMs: number | null, going: boolean) {
    this.#spanMs = spanMs;
    this.#going = going;
  }

  /** Whether it moves between two arrivals. */
  get moves(): boolean {
    return this.#going && this.#spanMs !== null && !this.#still;
  }

  /** Windows in sight when the strip's newest window ends at `end`. */
  at(end: number, nowMs: number): { readonly start: number; readonly windows: number } {
    if (this.#spanMs === null) return { start: 0, windows: Math.max(end * 1.02, 1000) };
    const windows = this.#spanMs / windowMs;
    if (this.#going && this.#still) return { start: Math.floor(Math.max(0, end - 1) / windows) * windows, windows };
    const edge = this.moves ? this.#smoothed(end * windowMs, nowMs) / windowMs : end;
    // The strip begins at the left edge and moves when it has reached the right one.
    return { start: Math.max(0, edge - windows), windows };
  }

  #smoothed(endMs: number, nowMs: number): number {
    const passedMs = this.#atMs === undefined ? 0 : nowMs - this.#atMs;
    this.#atMs = nowMs;
    const wantedMs = Math.max(0, endMs - lagMs);
    const offMs = wantedMs - (this.#edgeMs + passedMs);
    if (Math.abs(offMs) > mostOffMs) this.#edgeMs = wantedMs;
    else this.#edgeMs = Math.min(endMs, this.#edgeMs + passedMs + offMs * 0.05);
    return this.#edgeMs;
  }
}
