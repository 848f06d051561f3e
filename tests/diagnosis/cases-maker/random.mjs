/** Seeded random numbers (mulberry32), so that a seed always makes the same case. */
export function seededRandom(seed) {
  let state = (seed * 2654435761 + 12345) >>> 0;
  const uniform = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  const normal = () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  const pick = (list) => list[Math.floor(uniform() * list.length)];
  const between = (low, high) => low + (high - low) * uniform();
  return { uniform, normal, pick, between };
}
