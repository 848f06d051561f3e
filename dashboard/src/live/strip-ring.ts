/** Length of a window, and windows in a stretch of the rough ring, as bench and host make them. */
export const windowMs = 2;
export const roughWindows = 64;

/**
 * The newest pieces of a strip, each by the window at which it begins, its least and its greatest; the oldest are overwritten.
 * Its memory is taken once.
 */
export class StripRing {
  readonly #capacity: number;
  readonly #at: Float64Array;
  readonly #least: Int32Array;
  readonly #greatest: Int32Array;
  #pushed = 0;

  constructor(capacity: number) {
    this.#capacity = capacity;
    this.#at = new Float64Array(capacity);
    this.#least = new Int32Array(capacity);
    this.#greatest = new Int32Array(capacity);
  }

  /** Pieces come in their order. */
  push(at: number, least: number, greatest: number): void {
    const place = this.#pushed % this.#capacity;
    this.#at[place] = at;
    this.#least[place] = least;
    this.#greatest[place] = greatest;
    this.#pushed += 1;
  }

  get length(): number {
    return Math.min(this.#pushed, this.#capacity);
  }

  /** Of the piece so many places after the oldest. */
  at(index: number): number {
    return this.#at[this.#place(index)] ?? 0;
  }

  least(index: number): number {
    return this.#least[this.#place(index)] ?? 0;
  }

  greatest(index: number): number {
    return this.#greatest[this.#place(index)] ?? 0;
  }

  /** Index of the first piece that begins at this window or later; the length where there is none. */
  from(window: number): number {
    let low = 0;
    let high = this.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.at(middle) < window) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  #place(index: number): number {
    return (this.#pushed - this.length + index) % this.#capacity;
  }
}
