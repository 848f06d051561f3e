import { simulatedVehicle } from "@pinwalk/host/bench/virtual/vehicle/simulated-vehicle.js";
import { SelfTest, type SelfTestStep } from "@pinwalk/host/procedures/self-test/self-test.js";
import type { SelfTestItem } from "@pinwalk/host/procedures/self-test/self-test-item.js";
import { describe, expect, it } from "vitest";
import { BenchInThread } from "./bench-in-thread.js";
import { CalibrationRig, noErrors, type RigErrors } from "./calibration-rig.js";
import { fixturePlan } from "./scripted-walk.js";

async function tested(bench: BenchInThread, ready: readonly SelfTestStep[], wired?: readonly number[]) {
  const test = new SelfTest({ port: bench, ...(wired === undefined ? {} : { wired }) });
  for await (const event of test) {
    if (event.kind !== "step") continue;
    if (ready.includes(event.step)) test.ready();
    else test.skip();
  }
  const outcome = await test.outcome;
  if (outcome.kind !== "tested") throw new Error(JSON.stringify(outcome));
  const failed = outcome.items.filter(({ verdict }) => verdict === "fail");
  return {
    ...outcome,
    failed,
    item: (id: string): SelfTestItem | undefined => outcome.items.find((one) => one.id === id),
  };
}

const ids = (items: readonly SelfTestItem[]): string[] => items.map(({ id }) => id);

describe("the bench's own tests, on the emulated bench", () => {
  it("pass on a sound bench with nothing plugged in; only the missing calibration is open", async () => {
    const bench = new BenchInThread(new CalibrationRig(noErrors));
    const { overall, failed, item, items } = await tested(bench, ["nothing-plugged-in"]);
    expect(failed).toEqual([]);
    expect(overall).toBe("unsure");
    expect(item("constants")).toMatchObject({
      verdict: "unsure",
      lookAt: expect.stringContaining("pinwalk calibrate"),
    });
    expect(items.filter(({ id }) => id.startsWith("low-"))).toHaveLength(8);
    expect(item("loads")?.verdict).toBe("not-tested");
    expect(item("fast-limit")?.verdict).toBe("not-tested");
    expect(bench.emulated.outputs.last.relayClosed).toBe(false);
  }, 20_000);

  it("name the channel whose low-current source is dead", async () => {
    class DeadChannel extends CalibrationRig {
      override pinVolts(channel: number): number {
        return channel === 5 ? 0 : super.pinVolts(channel);
      }
    }
    const { failed } = await tested(new BenchInThread(new DeadChannel(noErrors)), ["nothing-plugged-in"]);
    expect(ids(failed)).toEqual(["low-5"]);
    expect(failed[0]?.lookAt).toContain("595 output");
  }, 20_000);

  it("find two pins that are bridged, from both sides", async () => {
    class Bridged extends CalibrationRig {
      override pinVolts(channel: number): number {
        return channel === 2 || channel === 3
          ? Math.max(super.pinVolts(2), super.pinVolts(3))
          : super.pinVolts(channel);
      }
    }
    const { failed } = await tested(new BenchInThread(new Bridged(noErrors)), ["nothing-plugged-in"]);
    expect(ids(failed)).toEqual(["low-2", "low-3"]);
    expect(failed[0]?.lookAt).toContain("bridge");
  }, 20_000);

  it("find a divider that is not quiet", async () => {
    const errors: RigErrors = { ...noErrors, far: (channel) => ({ gain: 1, offset: channel === 9 ? 0.6 : 0 }) };
    const { failed } = await tested(new BenchInThread(new CalibrationRig(errors)), ["nothing-plugged-in"]);
    expect(ids(failed)).toEqual(["dividers"]);
    expect(failed[0]?.words).toContain("far 9");
  }, 20_000);

  it("find a supply that is too low, and an amplifier that shows current where none is", async () => {
    const errors: RigErrors = { ...noErrors, supply: { gain: 0.7, offset: 0 }, current: { gain: 1, offset: 0.3 } };
    const { failed } = await tested(new BenchInThread(new CalibrationRig(errors)), []);
    expect(ids(failed)).toEqual(["current-zero", "supply"]);
  }, 20_000);

  it("drive each channel into the far loads, and make the slow limit act", async () => {
    const vehicle = simulatedVehicle(fixturePlan("extension-iso-1724"), [], 20);
    const { failed, items, item } = await tested(new BenchInThread(vehicle.side), ["far-loads"], [0, 1, 2, 3, 4, 5]);
    expect(failed).toEqual([]);
    expect(items.filter(({ id }) => id.startsWith("load-")).length).toBe(6);
    expect(item("slow-limit")?.verdict).toBe("pass");
  }, 30_000);

  it("find an amplifier that shows half of the current", async () => {
    const rig = new CalibrationRig({ ...noErrors, current: { gain: 0.5, offset: 0 } });
    rig.loadOhms = 47;
    const { failed } = await tested(new BenchInThread(rig), ["far-loads"]);
    expect(ids(failed)).toEqual(["load-0"]);
    expect(failed[0]?.lookAt).toContain("amplifier");
  }, 30_000);

  it("say that no load was seen where none is plugged in", async () => {
    const { failed } = await tested(new BenchInThread(new CalibrationRig(noErrors)), ["far-loads"]);
    expect(ids(failed)).toEqual(["loads"]);
  }, 20_000);
});
