import { openVirtualBench } from "@pinwalk/host/bench/virtual/virtual-bench.js";
import { adapterOf } from "@pinwalk/host/plan/adapter.js";
import { OutletCheck } from "@pinwalk/host/procedures/outlet-check/outlet-check.js";
import { outletVerdict, usualOutletThresholds } from "@pinwalk/host/procedures/outlet-check/outlet-verdict.js";
import { describe, expect, it } from "vitest";
import { fixturePlan } from "./scripted-walk.js";

const plan = fixturePlan("hatchback-round-6");
const pins = adapterOf(plan).near.filter(({ pin }) => ["LT", "RT", "TM", "S"].includes(pin));

describe("a tow vehicle's outlet, without and with far loads", () => {
  it("tells the pin that gives way under its load from those that hold, flashing and dimmed ones too", async () => {
    const bench = await openVirtualBench({ plan, pace: "fast" });
    const played = [
      { pin: "LT", waveform: { kind: "flashing", perMinute: 90, onShare: 0.5 } },
      { pin: "RT", waveform: { kind: "steady" }, ohms: 6 },
      { pin: "TM", waveform: { kind: "pulses", hertz: 110, duty: 0.4 } },
    ] as const;
    const outputs: number[] = [];
    bench.onOutputs(({ driveMask, lowMask, relayClosed }) => outputs.push(driveMask | lowMask | Number(relayClosed)));
    const check = new OutletCheck({ port: bench, pins, forMs: 1600 });
    for await (const event of check) {
      if (event.kind !== "step") continue;
      await bench.plugOutlet({ pins: played, farLoads: event.step === "with-loads" });
      check.ready();
    }
    const outcome = await check.outcome;
    if (outcome.kind !== "compared") throw new Error(JSON.stringify(outcome));
    expect(Object.fromEntries(outcome.pins.map(({ pin, verdict }) => [pin, verdict]))).toEqual({
      LT: "pass",
      RT: "fail",
      TM: "pass",
      S: "unsure",
    });
    const rt = outcome.pins.find(({ pin }) => pin === "RT");
    expect(Math.abs((rt?.openVolts ?? 0) - 12.6)).toBeLessThan(0.05);
    expect(Math.abs((rt?.loadedVolts ?? 0) - (12.6 * 47) / 53)).toBeLessThan(0.05);
    expect(Math.abs((rt?.ohms ?? 0) - 6)).toBeLessThan(0.4);
    expect(outcome.overall).toBe("fail");
    expect(Math.max(0, ...outputs)).toBe(0);
  }, 60_000);

  it("is unsure of what was left out, and passes a pin that is fed only once a lamp is seen", () => {
    const judged = (open: number | undefined, loaded: number | undefined) =>
      outletVerdict({ pin: "LT", open, loaded }, usualOutletThresholds).verdict;
    expect([judged(12.6, undefined), judged(0, 0), judged(0, 12.4), judged(12.6, 0)]).toEqual([
      "unsure",
      "unsure",
      "pass",
      "fail",
    ]);
    expect([judged(12.6, 12.11), judged(12.6, 12.09)]).toEqual(["pass", "fail"]);
  });
});
