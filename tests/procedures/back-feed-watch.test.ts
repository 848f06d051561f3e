import { BackFeedWatch } from "@pinwalk/host/procedures/back-feed-watch.js";
import { backFeedAsks, backFeedLimits, backFeedMarginVolts } from "@pinwalk/host/procedures/back-feed-watch-asks.js";
import type { BackFeedEvent } from "@pinwalk/host/procedures/back-feed-watch-events.js";
import { describe, expect, it } from "vitest";
import { fixturePlan } from "./scripted-walk.js";
import { judged, verdicts, walkedVehicle } from "./walked-vehicle.js";

const hatchback = fixturePlan("hatchback-round-6");
const isNotVolts = ({ kind }: BackFeedEvent) => kind !== "volts";

describe("what the back-feed watch asks for", () => {
  it("is each function of the vehicle that the plan's lamps share, and the pedal where it feeds both sides", () => {
    expect(backFeedAsks(hatchback).map(({ functions }) => functions)).toEqual([
      ["tail"],
      ["left-stop-turn"],
      ["right-stop-turn"],
      ["left-stop-turn", "right-stop-turn"],
    ]);
    const estate = backFeedAsks(fixturePlan("estate-iso-13")).map(({ id }) => id);
    expect(estate).toContain("stop");
    expect(estate).not.toContain("pedal");
    expect(backFeedAsks(fixturePlan("umbilical-blade-7-to-round-6"))).toEqual([]);
  });

  it("allows a sound vehicle what its diodes leak, which is next to nothing", () => {
    for (const ask of backFeedAsks(hatchback))
      for (const volts of Object.values(backFeedLimits(hatchback, ask))) {
        expect(volts).toBeGreaterThanOrEqual(backFeedMarginVolts);
        expect(volts).toBeLessThan(backFeedMarginVolts + 0.2);
      }
  });
});

describe("a back-feed watch on the firmware's image", () => {
  it("takes the person's word where nothing shows up, closes no relay, and adds its readings to the walk's", async () => {
    const { bench, base, outputs } = await walkedVehicle(hatchback);
    const watch = new BackFeedWatch({ plan: hatchback, port: bench, base });
    const told: BackFeedEvent[] = [];
    for await (const event of watch) {
      if (isNotVolts(event)) told.push(event);
      if (event.kind !== "step" || event.step !== "switch-on") continue;
      await bench.setOwnFunctions(event.ask?.functions ?? []);
      watch.confirm();
    }
    const findings = judged(await watch.outcome);
    expect(told.flatMap((event) => (event.kind === "recorded" ? [[event.ask.id, event.fed, event.how]] : []))).toEqual([
      ["tail", [], "confirmed"],
      ["left-stop-turn", [], "confirmed"],
      ["right-stop-turn", [], "confirmed"],
      ["pedal", [], "confirmed"],
    ]);
    expect(findings.readings.backFeed).toHaveLength(4);
    expect(findings.readings.drives).toEqual(base.drives);
    expect(verdicts(findings)).toEqual({ LT: "pass", RT: "pass", TM: "pass" });
    expect(outputs.filter(({ relayClosed, driveMask, lowMask }) => relayClosed || driveMask || lowMask)).toEqual([]);
  });

  it("notices by itself what comes through, waits until it is gone, and judges the circuit as not isolated", async () => {
    const { bench, base } = await walkedVehicle(hatchback, ["diode-shorted@feed:RT/right-rear.bright"]);
    const watch = new BackFeedWatch({ plan: hatchback, port: bench, base });
    const steps: string[] = [];
    for await (const event of watch) {
      if (event.kind === "recorded") expect([event.ask.id, event.how]).toEqual(["right-stop-turn", "noticed"]);
      if (event.kind !== "step") continue;
      steps.push(`${event.step} ${event.ask?.id}`);
      if (event.step === "switch-on" && event.ask?.id === "right-stop-turn")
        await bench.setOwnFunctions(["right-stop-turn"]);
      else if (event.step === "switch-on") watch.skip();
      if (event.step === "switch-off") await bench.setOwnFunctions([]);
    }
    expect(steps).toEqual([
      "switch-on tail",
      "switch-on left-stop-turn",
      "switch-on right-stop-turn",
      "watching right-stop-turn",
      "switch-off right-stop-turn",
      "switch-on pedal",
    ]);
    const findings = judged(await watch.outcome);
    expect(findings.readings.backFeed?.[0]?.volts.RT).toBeGreaterThan(8);
    expect(verdicts(findings)).toMatchObject({ RT: "not-isolated", TM: "pass" });
  });

  it("asks first to switch everything off when a pin is live, and leaves that pin out on the person's word", async () => {
    const { bench, base } = await walkedVehicle(hatchback, ["short-to-power@pin:RT"]);
    const watch = new BackFeedWatch({ plan: hatchback, port: bench, base });
    const steps: string[] = [];
    for await (const event of watch) {
      if (event.kind !== "step") continue;
      steps.push(event.step);
      if (event.step === "all-off") watch.confirm();
      if (event.step === "switch-on") watch.finish();
    }
    expect(steps).toEqual(["all-off", "switch-on"]);
    expect(judged(await watch.outcome).readings.backFeed).toEqual([]);
  });

  it("ends as cancelled at any moment, the port free", async () => {
    const { bench, base } = await walkedVehicle(hatchback);
    const watch = new BackFeedWatch({ plan: hatchback, port: bench, base });
    for await (const event of watch) if (event.kind === "volts") watch.cancel();
    expect(await watch.outcome).toEqual({ kind: "cancelled", outputs: "confirmed-off" });
    await expect(bench.look()).rejects.toMatchObject({ code: "ended" });
  });

  it("ends as not tested when the bench is lost", async () => {
    const { bench, base } = await walkedVehicle(hatchback);
    const watch = new BackFeedWatch({ plan: hatchback, port: bench, base });
    for await (const event of watch) if (event.kind === "step") await bench.powerCycle();
    expect(await watch.outcome).toMatchObject({ kind: "could-not-test", code: "bench-reset" });
  });

  it("keeps off a vehicle whose voltage the bench cannot meet", async () => {
    const tractor = fixturePlan("tractor-24-volt-round-7");
    const { bench, base } = await walkedVehicle(hatchback);
    const watch = new BackFeedWatch({ plan: tractor, port: bench, base });
    expect(await watch.outcome).toMatchObject({ kind: "could-not-test", code: "nominal-volts" });
  });
});
