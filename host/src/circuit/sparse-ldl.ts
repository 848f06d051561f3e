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
    // Neighbours and the places of their entries in turn. Short lists, walked: a network is built for every fault that is
    // weighed, and tables by number would cost more than they find.
    const around: number[][] = Array.from({ length: size }, () => []);
    let places = size;
    for (const [a, b] of pairs) {
      around[a]?.push(b, places);
      around[b]?.push(a, places);
      places++;
    }
    const order: number[] = [];
    const start = [0];
    const neighbour: number[] = [];
    const slot: number[] = [];
    const target: number[] = [];
    let earlyCount = 0;
    let lateTarget = 0;
    const early = Uint8Array.from(around, (_, unknown) => (isLate(unknown) ? 0 : 1));
    const left = new Uint8Array(size).fill(1);
    while (order.length < size) {
      let pivot = cheapest(early, around);
      if (pivot < 0 || (around[pivot]?.length ?? 0) > 2 * mostEarlyNeighbours) {
        early.fill(0);
        pivot = cheapest(left, around);
      } else earlyCount++;
      const there = around[pivot] as number[];
      for (let i = 0; i < there.length; i += 2) {
        const first = there[i] as number;
        const others = around[first] as number[];
        neighbour.push(first);
        slot.push(there[i + 1] as number);
        target.push(first);
        remove(others, pivot);
        for (let j = i + 2; j < there.length; j += 2) {
          const second = there[j] as number;
          const back = around[second] as number[];
          const known = others.length < back.length ? placeOf(others, second) : placeOf(back, first);
          target.push(known < 0 ? places : known);
          if (known >= 0) continue;
          others.push(second, places);
          back.push(first, places);
          places++;
        }
      }
      left[pivot] = 0;
      early[pivot] = 0;
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

/** Of the marked unknowns, the one with the fewest neighbours left, lowest number first; −1 where there is none. */
function cheapest(marked: Uint8Array, around: readonly (readonly number[])[]): number {
  let best = -1;
  let fewest = Number.POSITIVE_INFINITY;
  for (let unknown = 0; unknown < marked.length; unknown++) {
    if (marked[unknown] === 0) continue;
    const degree = (around[unknown] as readonly number[]).length;
    if (degree >= fewest) continue;
    best = unknown;
    fewest = degree;
  }
  return best;
}

/** Place of the entry that a neighbour has in such a list; −1 where it is none. */
function placeOf(list: readonly number[], neighbour: number): number {
  for (let at = 0; at < list.length; at += 2) if (list[at] === neighbour) return list[at + 1] as number;
  return -1;
}

function remove(list: number[], neighbour: number): void {
  for (let at = 0; at < list.length; at += 2) {
    if (list[at] !== neighbour) continue;
    list.splice(at, 2);
    return;
  }
}
