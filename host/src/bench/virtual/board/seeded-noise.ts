/** Random numbers that a seed repeats, for noise on the converter and for what memories hold at power-up. */
export class SeededNoise {
  #state: number;

  constructor(seed: number) {
    this.#state = seed >>> 0;
  }

  /** Evenly spread over 0 ≤ x < 1 (the public-domain generator mulberry32; from memory). */
  uniform(): number {
    this.#state = (this.#state + 0x6d2b79f5) >>> 0;
    let mixed = this.#state;
    mixed = Math.imul(mixed ^ (mixed >>> 15), mixed | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  }

  byte(): number {
    return Math.floor(this.uniform() * 256);
  }

  /** Normally distributed with mean 0 and standard deviation 1 (Box and Muller 1958). */
  gaussian(): number {
    const radius = Math.sqrt(-2 * Math.log(1 - this.uniform()));
    return radius * Math.cos(2 * Math.PI * this.uniform());
  }
}
