import type { PredictedBlock } from "./predicted-block.js";

/**
 * The readings of some blocks as rows of one linear system: how far each lies from its prediction, and how it moves with
 * what scatters. Only the quantities that move a reading here are numbered, those first that few blocks share: so numbered,
 * the system is nearly all zeros. Its arrays are kept from one fit to the next and only ever grow.
 */
export class ReadingRows {
  /** Scattered quantities that count. */
  size = 0;
  /** Readings. */
  count = 0;
  /** Measured less predicted. */
  raw = new Float64Array(0);
  /** Standard deviation of each reading about an explanation whose scatter is known. */
  sigma = new Float64Array(0);
  /** The bench's own share of it. */
  benchSigma = new Float64Array(0);
  /** Variance that the scattered quantities bring to each reading. */
  spread = new Float64Array(0);
  /** How much each reading counts. */
  weights = new Float64Array(0);
  /** For each quantity the lowest one that shares a reading with it. */
  first = new Int32Array(0);
  pull = new Float64Array(0);
  /** Most likely values of the quantities that count, in standard deviations. */
  estimate = new Float64Array(0);
  /** Entries of each row, from `start[row]` to `start[row + 1]`. */
  private start = new Int32Array(1);
  private column = new Int32Array(0);
  private slope = new Float64Array(0);
  /** For each scattered quantity the number of blocks that it moves, then its number here; −1 for those that do not count. */
  private place = new Int32Array(0);
  private used: number[] = [];

  fill(blocks: readonly PredictedBlock[], scatteredCount: number): void {
    this.number(blocks, scatteredCount);
    let count = 0;
    let entries = 0;
    for (const { observations, slopes } of blocks) {
      count += observations.length;
      entries += slopes.length;
    }
    this.count = count;
    this.makeRoom(count, entries);
    const { place, first, start, column, slope } = this;
    for (let at = 0; at < this.size; at++) first[at] = at;
    let row = 0;
    let entry = 0;
    for (const block of blocks) {
      const { observations, values, measured, scattered, slopes, extraVariance } = block;
      const width = scattered.length;
      for (let own = 0; own < observations.length; own++) {
        const observation = observations[own];
        if (observation === undefined) continue;
        let spread = 0;
        let lowest = this.size;
        const begin = entry;
        for (let at = 0; at < width; at++) {
          const change = slopes[own * width + at] as number;
          if (change === 0) continue;
          const quantity = place[scattered[at] as number] as number;
          if (quantity < lowest) lowest = quantity;
          spread += change * change;
          column[entry] = quantity;
          slope[entry++] = change;
        }
        for (let at = begin; at < entry; at++) {
          const quantity = column[at] as number;
          if (lowest < (first[quantity] as number)) first[quantity] = lowest;
        }
        this.raw[row] = (measured?.[own] ?? observation.value) - (values[own] as number);
        this.sigma[row] = Math.sqrt(observation.sigma ** 2 + (extraVariance[own] as number));
        this.benchSigma[row] = observation.sigma;
        this.spread[row] = spread;
        start[++row] = entry;
      }
    }
  }

  /** Measured less predicted, with the scatter moved to its estimate. */
  residual(row: number): number {
    const { start, column, slope, estimate } = this;
    let residual = this.raw[row] as number;
    for (let at = start[row] as number; at < (start[row + 1] as number); at++) {
      residual -= (slope[at] as number) * (estimate[column[at] as number] as number);
    }
    return residual;
  }

  /** The weighted least-squares equations, with a unit normal prior for every quantity; the lower half of `matrix`. */
  normalEquations(matrix: Float64Array, pull: Float64Array): void {
    const { size, count, start, column, slope, raw, sigma, weights } = this;
    matrix.fill(0, 0, size * size);
    pull.fill(0, 0, size);
    for (let at = 0; at < size; at++) matrix[at * size + at] = 1;
    for (let row = 0; row < count; row++) {
      const own = sigma[row] as number;
      const weight = (weights[row] as number) / (own * own);
      const begin = start[row] as number;
      const end = start[row + 1] as number;
      for (let at = begin; at < end; at++) {
        const i = column[at] as number;
        const weighted = weight * (slope[at] as number);
        pull[i] = (pull[i] as number) + weighted * (raw[row] as number);
        for (let other = begin; other <= at; other++) {
          const j = column[other] as number;
          const place = i > j ? i * size + j : j * size + i;
          matrix[place] = (matrix[place] as number) + weighted * (slope[other] as number);
        }
      }
    }
  }

  /** Most likely values of all scattered quantities; 0 for those that move nothing here. */
  scatter(scatteredCount: number): Float64Array {
    const scatter = new Float64Array(scatteredCount);
    for (let at = 0; at < this.size; at++) scatter[this.used[at] as number] = this.estimate[at] as number;
    return scatter;
  }

  private number(blocks: readonly PredictedBlock[], scatteredCount: number): void {
    if (this.place.length < scatteredCount) this.place = new Int32Array(scatteredCount);
    const { place } = this;
    place.fill(0);
    const used: number[] = [];
    for (const { scattered } of blocks) {
      for (const index of scattered) {
        const before = place[index] as number;
        if (before === 0) used.push(index);
        place[index] = before + 1;
      }
    }
    if (blocks.length > 1) used.sort((a, b) => (place[a] as number) - (place[b] as number));
    used.forEach((index, at) => {
      place[index] = at;
    });
    this.used = used;
    this.size = used.length;
  }

  private makeRoom(count: number, entries: number): void {
    if (this.raw.length < count) {
      this.raw = new Float64Array(2 * count);
      this.sigma = new Float64Array(2 * count);
      this.benchSigma = new Float64Array(2 * count);
      this.spread = new Float64Array(2 * count);
      this.weights = new Float64Array(2 * count);
      this.start = new Int32Array(2 * count + 1);
    }
    if (this.slope.length < entries) {
      this.column = new Int32Array(2 * entries);
      this.slope = new Float64Array(2 * entries);
    }
    if (this.estimate.length < this.size) {
      this.first = new Int32Array(2 * this.size);
      this.pull = new Float64Array(2 * this.size);
      this.estimate = new Float64Array(2 * this.size);
    }
  }
}
