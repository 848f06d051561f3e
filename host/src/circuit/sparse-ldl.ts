/** An early unknown with more neighbours than this stays for later: joining them all would cost more than it saves. */
const mostEarlyNeighbours = 3;

/**
 * LDLᵀ of a sparse symmetric positive definite matrix whose pattern stays while its numbers change. Ordering by minimum
 * degree and every index that the elimination will touch are worked out once; a factorization is then one walk over a
 * list of integers. The unknowns may be told apart: the `late` ones change in every Newton step, the others only when a
 * source or a switch does, so these are eliminated first and their part of the work is kept.
 *
 * Why not the matrix library: a wiring network is nearly a tree, so its factor has hardly more entries than the matrix
 * itself, and one solve is a few hundred multiplications; dense LU of 40 nodes needs 20,000 and allocates. The tests
 * hold this class against the library's dense LU. (George and Liu, *Computer Solution of Large Sparse Positive Definite
 * Systems*, 1981.)
 *
 * Use: write `values` → `factorEarly()` → `resume()` → add to `entries` of late unknowns → `factorLate()` → solve.
 */
export class SparseLdl {
  readonly size: number;
  /** The constant matrix: `size` diagonal entries first, then one entry per pair given to the constructor, in that order. */
  readonly values: Float64Array;
  /** The matrix under elimination, places as in `values`, fill after them; of an eliminated unknown, 1/pivot and its row of L. */
  readonly entries: Float64Array;
  private readonly kept: Float64Array;
  /** The unknowns that `factorLate` eliminates: those asked for, and those whose early elimination would cost too much. */
  readonly late: Int32Array;
  private readonly order: Int32Array;
  private readonly earlyCount: number;
  /** Neighbours left at each pivot: their numbers and the places of their entries, from `start[k]` to `start[k + 1]`. */
  private readonly start: Int32Array;
  private readonly neighbour: Int32Array;
  private readonly slot: Int32Array;
  /** Places that each pair of a pivot's neighbours updates, in the order in which the walk asks for them. */
  private readonly target: Int32Array;
  private readonly lateTarget: number;

  /** `pairs` are the places of the entries off the diagonal, each once, in either order. */
  constructor(
    size: number,
    pairs: readonly (readonly [number, number])[],
    isLate: (unknown: number) => boolean = () => true,
  ) {
    this.size = size;
    this.values = new Float64Array(size + pairs.length);
    const neighbours: Map<number, number>[] = Array.from({ length: size }, () => new Map<number, number>());
    let places = size;
    for (const [a, b] of pairs) {
      neighbours[a]?.set(b, places);
      neighbours[b]?.set(a, places);
      places++;
    }
    const order: number[] = [];
    const start = [0];
    const neighbour: number[] = [];
    const slot: number[] = [];
    const target: number[] = [];
    let earlyCount = 0;
    let lateTarget = 0;
    const early = new Set<number>([...neighbours.keys()].filter((unknown) => !isLate(unknown)));
    const left = new Set<number>(neighbours.keys());
    while (left.size > 0) {
      let pivot = cheapest(early, neighbours);
      if (pivot < 0 || (neighbours[pivot]?.size ?? 0) > mostEarlyNeighbours) {
        early.clear();
        pivot = cheapest(left, neighbours);
      } else earlyCount++;
      const around = [...(neighbours[pivot] ?? [])];
      for (let i = 0; i < around.length; i++) {
        const [first, firstSlot] = around[i] as [number, number];
        neighbour.push(first);
        slot.push(firstSlot);
        target.push(first);
        neighbours[first]?.delete(pivot);
        for (let j = i + 1; j < around.length; j++) {
          const [second] = around[j] as [number, number];
          const known = neighbours[first]?.get(second);
          target.push(known ?? places);
          if (known !== undefined) continue;
          neighbours[first]?.set(second, places);
          neighbours[second]?.set(first, places);
          places++;
        }
      }
      left.delete(pivot);
      early.delete(pivot);
      order.push(pivot);
      start.push(neighbour.length);
      if (earlyCount === order.length) lateTarget = target.length;
    }
    this.order = Int32Array.from(order);
    this.late = Int32Array.from(order.slice(earlyCount)).sort();
    this.earlyCount = earlyCount;
    this.start = Int32Array.from(start);
    this.neighbour = Int32Array.from(neighbour);
    this.slot = Int32Array.from(slot);
    this.target = Int32Array.from(target);
    this.lateTarget = lateTarget;
    this.entries = new Float64Array(places);
    this.kept = new Float64Array(places);
  }

  /** Eliminates the early unknowns of `values`. Returns −1, or the unknown whose pivot vanished. */
  factorEarly(): number {
    this.entries.fill(0);
    this.entries.set(this.values);
    const lost = this.eliminate(0, this.earlyCount, 0);
    this.kept.set(this.entries);
    return lost;
  }

  /** Goes back to where `factorEarly` ended. */
  resume(): void {
    this.entries.set(this.kept);
  }

  /** Eliminates the late unknowns. Returns −1, or the unknown whose pivot vanished. */
  factorLate(): number {
    return this.eliminate(this.earlyCount, this.size, this.lateTarget);
  }

  /** Takes the early unknowns out of a right side. */
  reduce(right: Float64Array): void {
    this.forward(right, 0, this.earlyCount);
  }

  /** Solves for the late unknowns of a reduced right side. */
  solveLate(right: Float64Array): void {
    this.forward(right, this.earlyCount, this.size);
    this.backward(right, this.earlyCount);
  }

  /** Completes an answer of `solveLate` by the early unknowns. */
  complete(right: Float64Array): void {
    for (let k = this.earlyCount - 1; k >= 0; k--) this.backPivot(right, k);
  }

  /** Solves with the last factor; `right` is overwritten with the answer. */
  solve(right: Float64Array): void {
    this.forward(right, 0, this.size);
    this.backward(right, 0);
  }

  private eliminate(from: number, to: number, firstTarget: number): number {
    const { entries, order, start, slot, target } = this;
    let at = firstTarget;
    for (let k = from; k < to; k++) {
      const pivot = entries[order[k] as number] as number;
      if (!(pivot > 0)) return order[k] as number;
      const inverse = 1 / pivot;
      const end = start[k + 1] as number;
      for (let i = start[k] as number; i < end; i++) {
        const own = slot[i] as number;
        const share = (entries[own] as number) * inverse;
        for (let j = i; j < end; j++) {
          const place = target[at++] as number;
          entries[place] = (entries[place] as number) - share * (entries[slot[j] as number] as number);
        }
        entries[own] = share;
      }
      entries[order[k] as number] = inverse;
    }
    return -1;
  }

  private forward(right: Float64Array, from: number, to: number): void {
    const { entries, order, start, neighbour, slot } = this;
    for (let k = from; k < to; k++) {
      const known = right[order[k] as number] as number;
      if (known === 0) continue;
      for (let i = start[k] as number; i < (start[k + 1] as number); i++) {
        const other = neighbour[i] as number;
        right[other] = (right[other] as number) - (entries[slot[i] as number] as number) * known;
      }
    }
  }

  private backward(right: Float64Array, downTo: number): void {
    for (let k = this.size - 1; k >= downTo; k--) this.backPivot(right, k);
  }

  private backPivot(right: Float64Array, k: number): void {
    const { entries, order, start, neighbour, slot } = this;
    const own = order[k] as number;
    let sum = (right[own] as number) * (entries[own] as number);
    for (let i = start[k] as number; i < (start[k + 1] as number); i++) {
      sum -= (entries[slot[i] as number] as number) * (right[neighbour[i] as number] as number);
    }
    right[own] = sum;
  }
}

/** Of these unknowns, the one with the fewest neighbours left, lowest number first; −1 where there is none. */
function cheapest(among: ReadonlySet<number>, neighbours: readonly ReadonlyMap<number, number>[]): number {
  let best = -1;
  let fewest = Number.POSITIVE_INFINITY;
  for (const unknown of among) {
    const degree = neighbours[unknown]?.size ?? 0;
    if (degree >= fewest) continue;
    best = unknown;
    fewest = degree;
  }
  return best;
}
