import { describe, expect, it } from "vitest";
import { ownSettlingMs, sevenPinPickup, walkTime } from "./walk-time.js";

describe("a seven-pin walk of a filament vehicle", () => {
  it("takes at most 1.15 times its lamps' own settling times, connection included, and the line under 5 % of it", async () => {
    const plan = sevenPinPickup();
    const ownMs = [...ownSettlingMs(plan).values()].reduce((sum, one) => sum + one, 0);
    expect(ownMs).toBeGreaterThan(1300);
    const { wholeMs, litMs, lineMs } = await walkTime(plan);
    // Four lamps were lit, each for about its own time.
    expect(litMs / ownMs).toBeGreaterThan(0.9);
    expect(litMs / ownMs).toBeLessThan(1.05);
    expect(wholeMs / ownMs).toBeLessThan(1.15);
    expect(lineMs / wholeMs).toBeLessThan(0.05);
  }, 60_000);
});
