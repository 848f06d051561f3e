import { adapterOf } from "@pinwalk/host/plan/adapter.js";
import { describe, expect, it } from "vitest";
import { samplePlan, samplePlanNames } from "./sample-plans.js";

describe("the adapter between bench and connector", () => {
  it("gives drivable pins 0 to 7 in the connector's order and the ground pin the first sensed place", () => {
    const adapter = adapterOf(samplePlan("hatchback-round-6"));
    expect(adapter.near).toEqual([
      { pin: "TM", channel: 0 },
      { pin: "LT", channel: 1 },
      { pin: "RT", channel: 2 },
      { pin: "S", channel: 3 },
      { pin: "A", channel: 4 },
      { pin: "GD", channel: 8 },
    ]);
    expect(adapter.groundPins).toEqual(["GD"]);
    expect([adapter.usedMask, adapter.senseOnlyMask, adapter.groundMask]).toEqual([0x11f, 0x010, 0x100]);
    expect(adapter.far).toEqual([]);
  });

  it("tells which of thirteen pins found no driver", () => {
    const adapter = adapterOf(samplePlan("estate-iso-13"));
    expect(adapter.near.filter(({ channel }) => channel < 8).map(({ pin }) => pin)).toEqual([
      "1",
      "2",
      "4",
      "5",
      "6",
      "7",
      "8",
      "9",
    ]);
    expect(adapter.near.filter(({ channel }) => channel >= 8).map(({ pin }) => pin)).toEqual([
      "3",
      "11",
      "13",
      "10",
      "12",
    ]);
    expect(adapter.undrivable).toEqual(["11", "13"]);
  });

  it("gives each pin of both ends a channel of its own", () => {
    for (const name of samplePlanNames) {
      const adapter = adapterOf(samplePlan(name));
      for (const side of [adapter.near, adapter.far]) {
        expect(new Set(side.map(({ channel }) => channel)).size).toBe(side.length);
        for (const { channel } of side) expect(channel).toBeLessThanOrEqual(12);
      }
    }
  });
});
