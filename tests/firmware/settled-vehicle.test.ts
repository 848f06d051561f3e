import { EmulatedBench } from "@pinwalk/host/bench/virtual/emulated-bench.js";
import { simulatedVehicle } from "@pinwalk/host/bench/virtual/vehicle/simulated-vehicle.js";
import { adapterOf } from "@pinwalk/host/plan/adapter.js";
import { describe, expect, it } from "vitest";
import { hatchback } from "../virtual-bench/sample-plans.js";
import { AskedBench, imageHex } from "./asked-bench.js";
import { LoadedSide } from "./loaded-side.js";

const SUPPLY_VOLTS = 12.8;
const adapter = adapterOf(hatchback);
const freshVehicle = () => simulatedVehicle(hatchback, [], 20).side;

/** The lamps' own course: amps every 5 ms for six seconds. */
function course(channel: number): number[] {
  const side = freshVehicle();
  side.switchTo({ supplyVolts: SUPPLY_VOLTS, relayClosed: true, driveMask: 1 << channel, lowMask: 0 }, 0);
  return Array.from({ length: 1200 }, (_, at) => side.shuntAmps(at * 0.005));
}

function drive(channel: number) {
  const bench = new AskedBench(new EmulatedBench({ imageHex, side: freshVehicle() }), new LoadedSide());
  bench.run(60);
  bench.get("roles", { used: adapter.usedMask, senseOnly: adapter.senseOnlyMask, ground: adapter.groundMask });
  bench.get("arm", {});
  const { measurement } = bench.get("drive", { channel, most: 6_000 });
  bench.await("ended", 3_000);
  return bench.get("result", { measurement });
}

describe("a vehicle's filament lamps", () => {
  it("are read within half a percent or 4 mA, in no more than 1.15 times their own settling times", () => {
    let ownMs = 0;
    let settleMs = 0;
    for (const { channel } of adapter.near.filter(({ pin }) => ["TM", "LT", "RT"].includes(pin))) {
      const amps = course(channel);
      const end = amps.at(-1) ?? Number.NaN;
      const result = drive(channel);
      expect(result.end).toBe("settled");
      expect(Math.abs(result.current / 1000 - end)).toBeLessThan(Math.max(0.004, 0.005 * end));
      // A lamp's own settling time: until it stays within 1 % of its end.
      ownMs += 5 * (amps.findLastIndex((one) => Math.abs(one - end) > 0.01 * end) + 1);
      settleMs += result.settle;
    }
    expect(ownMs).toBeGreaterThan(500);
    expect(settleMs / ownMs).toBeLessThan(1.15);
  }, 30_000);
});
