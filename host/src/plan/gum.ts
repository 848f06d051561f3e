/**
 * The rule of the GUM for uncertainties that travel together (JCGM 100:2008, 5.2.2 and H.2.3): the covariance of two results
 * is ΣΣ cᵢ·dⱼ·r(i, j), where `first` and `second` hold each result's change over one standard uncertainty of each input and
 * r is the inputs' correlation. With `first` and `second` the same, it is the result's variance.
 * Example: changes 3 and 4, uncorrelated → 25.
 */
export function combinedCovariance(
  first: readonly number[],
  second: readonly number[],
  correlation: (i: number, j: number) => number,
): number {
  let sum = 0;
  for (let i = 0; i < first.length; i++) {
    const change = first[i] ?? 0;
    if (change === 0) continue;
    for (let j = 0; j < second.length; j++) {
      const r = i === j ? 1 : correlation(i, j);
      if (r !== 0) sum += change * (second[j] ?? 0) * r;
    }
  }
  return sum;
}
