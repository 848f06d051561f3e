import { describe, expect, it } from "vitest";
import { AskedBench } from "./asked-bench.js";
import { HangingBench } from "./hanging-bench.js";
import { LoadedSide, steady } from "./loaded-side.js";

function driving(ohms: number): AskedBench<HangingBench> {
  const side = new LoadedSide();
  side.loads.set(0, steady(ohms));
  const bench = new AskedBench(new HangingBench(side), side);
  bench.run(60);
  bench.arm();
  bench.get("hold", { channel: 0 });
  bench.run(30);
  return bench;
}

describe("a main loop that hangs in mid-drive", () => {
  it("is ended by the watchdog, outputs off, and says so when it is back", () => {
    const bench = driving(6);
    const { machine } = bench;
    machine.hang(true);
    const since = bench.nowMs;
    while (machine.outputs.last.driveMask !== 0 && bench.nowMs < since + 1_000) bench.run(1);
    machine.hang(false);
    expect(bench.isOff).toBe(true);
    // 250 ms of the watchdog's own clock.
    expect(bench.offSinceMs - since).toBeGreaterThan(200);
    expect(bench.offSinceMs - since).toBeLessThan(260);
    expect(bench.await("hello", 100).fields.reset).toBe("watchdog");
    expect(bench.get("status", {}).state).toBe("idle");
  });

  it("does not keep the slow limit from switching off in time", () => {
    const bench = driving(6);
    const { machine } = bench;
    machine.hang(true);
    bench.run(2);
    bench.side.loads.set(0, steady(0.8));
    const since = bench.nowMs;
    while (machine.outputs.last.driveMask !== 0 && bench.nowMs < since + 1_000) bench.run(0.1);
    expect(bench.isOff).toBe(true);
    expect(bench.offSinceMs - since).toBeGreaterThan(100);
    expect(bench.offSinceMs - since).toBeLessThan(102);
  });

  it("does nothing of the kind while it turns over as it should", () => {
    const bench = driving(6);
    bench.runTalking(900);
    expect(bench.machine.outputs.last.driveMask).toBe(1);
    expect(bench.pushNames()).not.toContain("off");
  });
});
