/** A bucket of tokens: so many at once, so many a second in the long run. */
export class Allowance {
  readonly #most: number;
  readonly #perSecond: number;
  #left: number;
  #filledAt = performance.now();

  constructor(most: number, perSecond: number) {
    this.#most = most;
    this.#perSecond = perSecond;
    this.#left = most;
  }

  /** Takes one; false where none is left. */
  take(now = performance.now()): boolean {
    this.#left = Math.min(this.#most, this.#left + ((now - this.#filledAt) / 1000) * this.#perSecond);
    this.#filledAt = now;
    if (this.#left < 1) return false;
    this.#left -= 1;
    return true;
  }
}
