/**
 * Entropy of a distribution in bits; the weights need not add up to one. `entropyBits([0.01, 0.99])` is 0.08.
 */
export function entropyBits(weights: readonly number[]): number {
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  if (total <= 0) return 0;
  let bits = 0;
  for (const weight of weights) {
    if (weight > 0) bits -= (weight / total) * Math.log2(weight / total);
  }
  return bits;
}

/**
 * Information in bits that one check is expected to bring: the entropy now less the expected entropy after it
 * (de Kleer and Williams 1987). `chances[i][o]` is the chance of outcome `o` if candidate `i` is true; a candidate that
 * says nothing about the outcome has its chance spread evenly. Two equal candidates that a check tells apart for
 * certain: `expectedBits([0.5, 0.5], [[1, 0], [0, 1]])` is 1.
 */
export function expectedBits(probabilities: readonly number[], chances: readonly (readonly number[])[]): number {
  const outcomes = Math.max(0, ...chances.map((row) => row.length));
  const total = probabilities.reduce((sum, probability) => sum + probability, 0);
  let after = 0;
  for (let outcome = 0; outcome < outcomes; outcome++) {
    const joint = probabilities.map((probability, index) => probability * (chances[index]?.[outcome] ?? 0));
    after += (joint.reduce((sum, weight) => sum + weight, 0) / total) * entropyBits(joint);
  }
  return Math.max(0, entropyBits(probabilities) - after);
}
