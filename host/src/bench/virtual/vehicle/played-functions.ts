import { isOnAt, nextEdgeAfter, type PlayedFunction, requireWaveform } from "./played-signal.js";

/** What nobody looked at is not played after longer than this: only the end of it is. */
const mostBehindSeconds = 0.2;

/** Switches a vehicle's own functions on and off as their waveforms want it, whenever somebody looks. */
export class PlayedFunctions {
  readonly #switchTo: (functions: readonly string[], atSeconds: number) => void;
  #played: readonly PlayedFunction[] = [];
  #startSeconds = 0;
  #nextSeconds = Number.POSITIVE_INFINITY;

  constructor(switchTo: (functions: readonly string[], atSeconds: number) => void) {
    this.#switchTo = switchTo;
  }

  /** Plays these from now on, and nothing else. Throws `bad-setting`. */
  play(functions: readonly PlayedFunction[], atSeconds: number): void {
    for (const { waveform } of functions) requireWaveform(waveform);
    this.#played = functions;
    this.#startSeconds = atSeconds;
    this.#switch(atSeconds);
  }

  /** To be called before anything is read or switched at a moment. */
  catchUp(atSeconds: number): void {
    if (atSeconds - this.#nextSeconds > mostBehindSeconds) this.#switch(atSeconds - mostBehindSeconds);
    while (this.#nextSeconds <= atSeconds) this.#switch(this.#nextSeconds);
  }

  #switch(atSeconds: number): void {
    const playedSeconds = atSeconds - this.#startSeconds;
    // At an edge itself the new state holds.
    const on = this.#played.filter(({ waveform }) => isOnAt(waveform, playedSeconds + 1e-9));
    const edges = this.#played.map(({ waveform }) => nextEdgeAfter(waveform, playedSeconds));
    this.#nextSeconds = this.#startSeconds + Math.min(Number.POSITIVE_INFINITY, ...edges);
    this.#switchTo([...new Set(on.map((one) => one.function))], atSeconds);
  }
}
