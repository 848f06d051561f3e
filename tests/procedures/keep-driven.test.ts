import { isAllOff } from "@pinwalk/host/bench/virtual/output-log.js";
import { adapterOf } from "@pinwalk/host/plan/adapter.js";
import { KeepDriven, keepablePins } from "@pinwalk/host/procedures/keep-driven.js";
import { describe, expect, it } from "vitest";
import { fixturePlan } from "./scripted-walk.js";
import { walkedVehicle } from "./walked-vehicle.js";

const plan = fixturePlan("hatchback-round-6");
const ltBit = 1 << (adapterOf(plan).near.find(({ pin }) => pin === "LT")?.channel ?? -1);

describe("a pin that is kept driven", () => {
  it("is the asked one alone, tells its current, and is off ten seconds after the last sign of life", async () => {
    const { bench, base, outputs } = await walkedVehicle(plan);
    const kept = new KeepDriven({ plan, pin: "LT", port: bench, base });
    const amps: number[] = [];
    let signs = 0;
    for await (const event of kept) {
      if (event.kind !== "current") continue;
      amps.push(event.amps);
      // Five times a second for six seconds, then no more.
      if (amps.length > 30) continue;
      signs += 1;
      kept.keep();
    }
    expect(await kept.outcome).toEqual({ kind: "no-sign-of-life" });
    expect(signs).toBe(30);
    const walked = base.drives?.find(({ pin }) => pin === "LT")?.amps ?? 0;
    expect(amps.at(-1)).toBeCloseTo(walked, 1);
    const on = outputs.filter(({ driveMask }) => driveMask !== 0);
    expect(new Set(on.map(({ driveMask }) => driveMask))).toEqual(new Set([ltBit]));
    const beganMs = on[0]?.atMs ?? 0;
    const endedMs = outputs.find(({ atMs, driveMask }) => atMs > beganMs && driveMask === 0)?.atMs ?? 0;
    expect((endedMs - beganMs) / 1000).toBeGreaterThan(15);
    expect((endedMs - beganMs) / 1000).toBeLessThan(18);
    const last = outputs.at(-1);
    expect(last && isAllOff(last) && !last.relayClosed).toBe(true);
  });

  it("is off as soon as it is cancelled, before and after it was on", async () => {
    for (const moment of ["connecting", "driven"] as const) {
      const { bench, base, outputs } = await walkedVehicle(plan);
      const kept = new KeepDriven({ plan, pin: "LT", port: bench, base });
      for await (const event of kept) if (event.kind === moment) kept.cancel();
      expect((await kept.outcome).kind).toBe("cancelled");
      expect(outputs.some(({ driveMask }) => driveMask !== 0)).toBe(moment === "driven");
      const last = outputs.at(-1);
      expect(last === undefined || (isAllOff(last) && !last.relayClosed)).toBe(true);
    }
  });

  it("is neither armed nor driven while something else stands on it", async () => {
    const { bench, base, outputs } = await walkedVehicle(plan, ["diode-shorted@feed:RT/right-rear.bright"]);
    expect(keepablePins(plan, base)).toContain("RT");
    await bench.setOwnFunctions(["right-stop-turn"]);
    const kept = new KeepDriven({ plan, pin: "RT", port: bench, base });
    expect(await kept.outcome).toMatchObject({
      kind: "could-not-test",
      code: "live",
      message: expect.stringMatching(/^RT was not driven: it carries \d+\.\d\d V although nothing is driven/),
    });
    expect(outputs.filter(({ driveMask, relayClosed }) => driveMask !== 0 || relayClosed)).toEqual([]);
  });

  it("is never a charge line, a pin that the plan forbids to drive, one that tripped, or one of a cable", async () => {
    const { base } = await walkedVehicle(plan);
    expect(keepablePins(plan, base)).toEqual(["TM", "LT", "RT"]);
    if (plan.kind !== "install") throw new Error("a vehicle");
    const charge = plan.circuits.map((one) => (one.pin === "RT" ? { ...one, function: "charge" as const } : one));
    const forbidding = { ...plan, circuits: charge, senseOnly: ["TM"] };
    expect(keepablePins(forbidding, base)).toEqual(["LT"]);
    const tripped = base.drives?.map((one) => ({ ...one, tripped: one.pin === "LT" }));
    expect(keepablePins(forbidding, { ...base, drives: tripped })).toEqual([]);
    const { bench, outputs } = await walkedVehicle(plan);
    const kept = new KeepDriven({ plan: forbidding, pin: "RT", port: bench, base });
    expect(await kept.outcome).toMatchObject({ kind: "could-not-test", code: "not-drivable" });
    expect(outputs).toEqual([]);
  });
});
