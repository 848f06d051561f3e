/**
 * LDLᵀ of a sparse symmetric matrix whose pattern stays while its numbers change: ordering by minimum degree and the
 * pattern of L are worked out once, then each factorization is a walk over fixed index lists.
 *
 * Why not the matrix library: a wiring network is nearly a tree, so its factor has hardly more entries than the matrix
 * itself, and one solve is a few hundred multiplications; dense LU of 40 nodes needs 20,000 and allocates. The tests
 * hold this class against the library's dense LU. Up-looking method after T. A. Davis, *Direct Methods for Sparse
 * Linear Systems* (SIAM 2006), ch. 4.
 */
export class SparseLdl {
  readonly size: number;
  /** The matrix: `size` diagonal entries first, then one entry per pair given to the constructor, in that order. */
  readonly values: Float64Array;
  private readonly order: Int32Array;
  private readonly rowStart: Int32Array;
  private readonly rowColumn: Int32Array;
  private readonly rowSlot: Int32Array;
  private readonly columnStart: Int32Array;
  private readonly columnRow: Int32Array;
  private readonly columnValue: Float64Array;
  private readonly filled: Int32Array;
  private readonly scatterStart: Int32Array;
  private readonly scatterColumn: Int32Array;
  private readonly scatterSlot: Int32Array;
  private readonly diagonal: Float64Array;
  private readonly work: Float64Array;

  /** `pairs` are the places of the entries off the diagonal, each once, in either order. */
  constructor(size: number, pairs: readonly (readonly [number, number])[]) {
    this.size = size;
    this.values = new Float64Array(size + pairs.length);
    this.diagonal = new Float64Array(size);
    this.work = new Float64Array(size);
    this.order = minimumDegreeOrder(size, pairs);
    const place = new Int32Array(size);
    this.order.forEach((node, at) => {
      place[node] = at;
    });

    // Entries of the permuted matrix left of the diagonal, by row.
    const scatter: [number, number][][] = Array.from({ length: size }, () => []);
    pairs.forEach(([a, b], index) => {
      const row = Math.max(place[a] ?? 0, place[b] ?? 0);
      const column = Math.min(place[a] ?? 0, place[b] ?? 0);
      scatter[row]?.push([column, size + index]);
    });
    const flatScatter = scatter.flat();
    this.scatterStart = startsOf(scatter);
    this.scatterColumn = Int32Array.from(flatScatter, ([column]) => column);
    this.scatterSlot = Int32Array.from(flatScatter, ([, slot]) => slot);

    // Pattern of each row of L: what the elimination tree reaches from the row's own entries.
    const parent = new Int32Array(size).fill(-1);
    const rows: number[][] = [];
    for (let row = 0; row < size; row++) {
      const found = new Set<number>();
      for (const [column] of scatter[row] ?? []) {
        for (let at = column; at !== -1 && at < row && !found.has(at); at = parent[at] ?? -1) {
          found.add(at);
          if (parent[at] === -1) parent[at] = row;
        }
      }
      rows.push([...found].sort((a, b) => a - b));
    }
    const columns: number[][] = Array.from({ length: size }, () => []);
    rows.forEach((row, at) => {
      for (const column of row) columns[column]?.push(at);
    });
    this.columnStart = startsOf(columns);
    this.columnRow = Int32Array.from(columns.flat());
    this.columnValue = new Float64Array(this.columnRow.length);
    this.filled = new Int32Array(size);
    this.rowStart = startsOf(rows);
    this.rowColumn = Int32Array.from(rows.flat());
    const seen = new Int32Array(size);
    this.rowSlot = Int32Array.from(this.rowColumn, (column) => {
      const slot = (this.columnStart[column] ?? 0) + (seen[column] ?? 0);
      seen[column] = (seen[column] ?? 0) + 1;
      return slot;
    });
  }

  /** Factors `values`. Returns −1, or the index of the unknown whose pivot vanished. */
  factor(): number {
    const { size, values, order, rowStart, rowColumn, rowSlot, columnStart, columnRow, columnValue } = this;
    const { filled, scatterStart, scatterColumn, scatterSlot, diagonal, work } = this;
    filled.fill(0);
    for (let row = 0; row < size; row++) {
      const own = values[order[row] as number] as number;
      for (let at = scatterStart[row] as number; at < (scatterStart[row + 1] as number); at++) {
        const column = scatterColumn[at] as number;
        work[column] = (work[column] as number) + (values[scatterSlot[at] as number] as number);
      }
      let pivot = own;
      for (let at = rowStart[row] as number; at < (rowStart[row + 1] as number); at++) {
        const column = rowColumn[at] as number;
        const entry = work[column] as number;
        work[column] = 0;
        const start = columnStart[column] as number;
        const end = start + (filled[column] as number);
        for (let below = start; below < end; below++) {
          const target = columnRow[below] as number;
          work[target] = (work[target] as number) - (columnValue[below] as number) * entry;
        }
        const scaled = entry / (diagonal[column] as number);
        pivot -= scaled * entry;
        columnValue[rowSlot[at] as number] = scaled;
        filled[column] = (filled[column] as number) + 1;
      }
      work[row] = 0;
      if (!(pivot > own * 1e-15)) {
        work.fill(0);
        return order[row] as number;
      }
      diagonal[row] = pivot;
    }
    return -1;
  }

  /** Solves with the last factor; `right` is overwritten with the answer. */
  solve(right: Float64Array): void {
    const { size, order, columnStart, columnRow, columnValue, diagonal, work } = this;
    for (let at = 0; at < size; at++) work[at] = right[order[at] as number] as number;
    for (let column = 0; column < size; column++) {
      const known = work[column] as number;
      for (let at = columnStart[column] as number; at < (columnStart[column + 1] as number); at++) {
        const row = columnRow[at] as number;
        work[row] = (work[row] as number) - (columnValue[at] as number) * known;
      }
    }
    for (let column = size - 1; column >= 0; column--) {
      let sum = (work[column] as number) / (diagonal[column] as number);
      for (let at = columnStart[column] as number; at < (columnStart[column + 1] as number); at++) {
        sum -= (columnValue[at] as number) * (work[columnRow[at] as number] as number);
      }
      work[column] = sum;
    }
    for (let at = 0; at < size; at++) right[order[at] as number] = work[at] as number;
    work.fill(0);
  }
}

function startsOf(lists: readonly (readonly unknown[])[]): Int32Array {
  const starts = new Int32Array(lists.length + 1);
  lists.forEach((list, at) => {
    starts[at + 1] = (starts[at] ?? 0) + list.length;
  });
  return starts;
}

/** Greedy: always eliminates the node with the fewest neighbours left, lowest number first, and joins those. */
function minimumDegreeOrder(size: number, pairs: readonly (readonly [number, number])[]): Int32Array {
  const neighbours: Set<number>[] = Array.from({ length: size }, () => new Set<number>());
  for (const [a, b] of pairs) {
    neighbours[a]?.add(b);
    neighbours[b]?.add(a);
  }
  const left = new Set<number>(neighbours.keys());
  const order = new Int32Array(size);
  for (let at = 0; at < size; at++) {
    let best = -1;
    let fewest = Number.POSITIVE_INFINITY;
    for (const node of left) {
      const degree = neighbours[node]?.size ?? 0;
      if (degree < fewest) {
        best = node;
        fewest = degree;
      }
    }
    order[at] = best;
    left.delete(best);
    const around = [...(neighbours[best] ?? [])];
    for (const node of around) {
      const own = neighbours[node];
      own?.delete(best);
      for (const other of around) if (other !== node) own?.add(other);
    }
  }
  return order;
}
