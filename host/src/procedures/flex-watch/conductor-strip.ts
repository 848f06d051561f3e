import { type WatchBlock, type WatchGap, windowMs } from "../../bench/watch-values.js";

/** Whether the far pin's voltage could be followed, or only the current into the far load. */
export type Followed = "far-volts" | "amps";

/** A piece of the strip chart: one block of windows. Volts or amps, as `Followed` says; milliseconds since the watch began. */
export interface StripPoint {
  readonly atMs: number;
  readonly least: number;
  readonly mean: number;
  readonly greatest: number;
  /** Ohms of the conductor, absent where they cannot be told: no current, or the far voltage is not followed. */
  readonly ohms?: number;
  /** Mean of the last few points' ohms, by which the conductor is judged. */
  readonly smoothOhms?: number;
}

/** What one conductor did while the cable was moved. */
export interface ConductorWatched {
  readonly pin: string;
  readonly followed: Followed;
  readonly lengthMs: number;
  readonly gaps: readonly WatchGap[];
  /** By the bench's own count, which a bad line cannot shorten. */
  readonly gapCount: number;
  readonly longestGapMs: number;
  readonly totalGapMs: number;
  /** Ohms; absent where the far voltage is not followed, or nothing flowed. */
  readonly ohms?: { readonly least: number; readonly mean: number; readonly greatest: number };
  /**
   * Where only the current is followed: greatest less least ohms of the whole loop with its load, whose own resistance is not known well
   * enough to take it off. Noise alone makes some of it.
   */
  readonly loopSpreadOhms?: number;
  /** Windows that did not come through: the strip has holes there, the gaps have not. */
  readonly lostWindows: number;
}

/** Less current than this says nothing of a resistance: a far load takes a quarter of an ampere. */
const leastAmps = 0.05;
/** Blocks in a moving mean: takes the converter's noise out and leaves what a hand can do. */
const smoothedBlocks = 4;
/** The same where only the current is followed, half a second: 0.1 Ω more in the loop are 0.6 mA less, the noise of a block 0.5 mA. */
const smoothedLoopBlocks = 16;
/** The pin comes up. */
const settleMs = 40;

/** Follows one conductor, block by block. */
export class ConductorStrip {
  readonly #gaps: WatchGap[] = [];
  #ohms: number[] = [];
  #loopOhms: number[] = [];
  #smooth: number[] = [];
  #next = 0;
  #lost = 0;

  constructor(
    readonly pin: string,
    readonly followed: Followed,
  ) {}

  add({ first, windows, amps, nearVolts }: WatchBlock): StripPoint {
    this.#lost += Math.max(0, first - this.#next);
    const isWhole = first === this.#next;
    this.#next = first + windows.length;
    const least = Math.min(...windows.map((window) => window.least));
    const mean = windows.reduce((sum, window) => sum + window.mean, 0) / windows.length;
    const greatest = Math.max(...windows.map((window) => window.greatest));
    const point = { atMs: first * windowMs, least, mean, greatest };
    // A block with an interruption in it would give the resistance of the air.
    const isConnected = least > greatest / 2 && amps >= leastAmps && point.atMs >= settleMs;
    if (!isConnected) {
      this.#smooth = [];
      return point;
    }
    if (this.followed === "amps") {
      const loopOhms = this.#smoothed(nearVolts / amps, isWhole, smoothedLoopBlocks);
      if (loopOhms !== undefined) this.#loopOhms.push(loopOhms);
      return point;
    }
    const ohms = (nearVolts - mean) / amps;
    const smoothOhms = this.#smoothed(ohms, isWhole, smoothedBlocks);
    if (smoothOhms === undefined) return { ...point, ohms };
    this.#ohms.push(smoothOhms);
    return { ...point, ohms, smoothOhms };
  }

  /** Mean over so many blocks in a row; undefined as long as there are fewer. */
  #smoothed(ohms: number, isWhole: boolean, blocks: number): number | undefined {
    this.#smooth = isWhole ? [...this.#smooth, ohms].slice(-blocks) : [ohms];
    return this.#smooth.length < blocks ? undefined : this.#smooth.reduce((sum, one) => sum + one, 0) / blocks;
  }

  addGap(gap: WatchGap): void {
    this.#gaps.push(gap);
  }

  result(bench: {
    readonly windows: number;
    readonly gaps: number;
    readonly longestGapMs: number;
    readonly totalGapMs: number;
  }): ConductorWatched {
    const ohms = this.#ohms;
    const loopOhms = this.#loopOhms;
    const lost = this.#lost + Math.max(0, bench.windows - this.#next);
    return {
      pin: this.pin,
      followed: this.followed,
      lengthMs: bench.windows * windowMs,
      gaps: this.#gaps,
      gapCount: bench.gaps,
      longestGapMs: bench.longestGapMs,
      totalGapMs: bench.totalGapMs,
      ...(ohms.length === 0
        ? {}
        : {
            ohms: {
              least: leastOf(ohms),
              mean: ohms.reduce((sum, one) => sum + one, 0) / ohms.length,
              greatest: greatestOf(ohms),
            },
          }),
      ...(loopOhms.length === 0 ? {} : { loopSpreadOhms: greatestOf(loopOhms) - leastOf(loopOhms) }),
      lostWindows: lost,
    };
  }
}

const leastOf = (values: readonly number[]): number => values.reduce((a, b) => Math.min(a, b));
const greatestOf = (values: readonly number[]): number => values.reduce((a, b) => Math.max(a, b));
