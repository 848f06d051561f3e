import { describe, expect, it } from "vitest";

const benchmark = new URL("../benchmarks/firmware-budget.bench.mjs", import.meta.url).href;
const {
  untouchedBytes,
  longestInterrupts,
}: {
  untouchedBytes: () => { readonly untouched: number; readonly stack: number };
  longestInterrupts: () => ReadonlyMap<number, number>;
} = await import(benchmark);

describe("the firmware, as executed through everything it can be asked", () => {
  it("leaves RAM between its variables and its stack untouched", () => {
    const { untouched, stack } = untouchedBytes();
    expect(untouched).toBeGreaterThan(64);
    expect(stack).toBeGreaterThan(60);
    expect(stack).toBeLessThan(270);
  });

  it("keeps each interrupt under 1000 cycles, and all of them in a row under the three characters that the receiver holds", () => {
    const longest = [...longestInterrupts().values()];
    expect(longest).toHaveLength(4);
    expect(Math.max(...longest)).toBeLessThan(1_000);
    expect(Math.min(...longest)).toBeGreaterThan(30);
    expect(longest.reduce((sum, cycles) => sum + cycles, 0)).toBeLessThan(3 * 640);
  }, 60_000);
});
