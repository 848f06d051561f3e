/**
 * Cholesky's factor of a symmetric positive definite matrix whose rows begin late: whatever lies in a row before its first
 * entry stays zero and is never walked. (Jennings 1966; George and Liu, *Computer Solution of Large Sparse Positive Definite
 * Systems*, 1981, chapter 4: the envelope method.)
 */

/** Factors the lower half of `matrix` in place; `first` is each row's first column. Returns half the logarithm of the determinant. */
export function factorEnvelope(matrix: Float64Array, first: Int32Array, size: number): number {
  let halfLog = 0;
  for (let i = 0; i < size; i++) {
    const row = i * size;
    const begin = first[i] as number;
    let square = matrix[row + i] as number;
    for (let j = begin; j < i; j++) {
      const other = j * size;
      const otherBegin = first[j] as number;
      let sum = matrix[row + j] as number;
      for (let k = Math.max(begin, otherBegin); k < j; k++) {
        sum -= (matrix[row + k] as number) * (matrix[other + k] as number);
      }
      sum /= matrix[other + j] as number;
      matrix[row + j] = sum;
      square -= sum * sum;
    }
    const pivot = Math.sqrt(Math.max(square, 1e-12));
    matrix[row + i] = pivot;
    halfLog += Math.log(pivot);
  }
  return halfLog;
}

/** Solves for `right` by that factor; the answer goes into `x`. */
export function solveEnvelope(
  matrix: Float64Array,
  first: Int32Array,
  size: number,
  right: Float64Array,
  x: Float64Array,
): void {
  for (let i = 0; i < size; i++) {
    let sum = right[i] as number;
    for (let k = first[i] as number; k < i; k++) sum -= (matrix[i * size + k] as number) * (x[k] as number);
    x[i] = sum / (matrix[i * size + i] as number);
  }
  for (let i = size - 1; i >= 0; i--) {
    const value = (x[i] as number) / (matrix[i * size + i] as number);
    x[i] = value;
    for (let k = first[i] as number; k < i; k++) {
      x[k] = (x[k] as number) - (matrix[i * size + k] as number) * value;
    }
  }
}
