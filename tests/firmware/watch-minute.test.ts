import { describe, expect, it } from "vitest";
import { imageHex } from "./asked-bench.js";

interface Watched {
  readonly windows: number;
  readonly lost: number;
  readonly lostAtEnd: number;
  readonly gaps: number;
  readonly shortestGapTenths: number;
  readonly longestGapTenths: number;
  readonly bytes: number;
  readonly played: number;
  readonly lastedMs: number;
  readonly perSecond: number;
  readonly counted: { readonly dropped: number; readonly gaps: number };
}

const benchmark = new URL("../benchmarks/watch.bench.mjs", import.meta.url).href;
const { watchFor }: { watchFor: (seconds: number, imageHex: string) => Watched } = await import(benchmark);

describe("a watch of a minute", () => {
  it("holds 500 windows per second with none lost, and tells every interruption of 1 ms", () => {
    const watched = watchFor(60, imageHex);
    // At most one line of 16 windows is on its way at either end.
    expect(watched.perSecond * 60).toBeGreaterThan(500 * 60 - 17);
    expect([watched.lost, watched.lostAtEnd, watched.counted.dropped]).toEqual([0, 0, 0]);
    expect(watched.played).toBeGreaterThan(600);
    expect([watched.counted.gaps, watched.gaps]).toEqual([watched.played, watched.played]);
    expect(watched.shortestGapTenths).toBeGreaterThanOrEqual(7);
    expect(watched.longestGapTenths).toBeLessThanOrEqual(13);
    // A fifth of what the line carries, and less than another emulator's slow line does.
    expect((1000 * watched.bytes) / watched.lastedMs).toBeLessThan(5_300);
  }, 120_000);
});
