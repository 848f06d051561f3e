import { adapterOf } from "@pinwalk/host/plan/adapter.js";
import { readingsSchema } from "@pinwalk/host/readings/readings.js";
import { describe, expect, it } from "vitest";
import { fixturePlan, ScriptedWalk } from "./scripted-walk.js";

const plan = fixturePlan("hatchback-round-6");
const channelOf = (pin: string): number => adapterOf(plan).near.find((place) => place.pin === pin)?.channel ?? -1;

describe("a walk", () => {
  it("looks at rest before it arms, feeds low current before it drives, and ends with everything off", async () => {
    const scripted = new ScriptedWalk(plan);
    const outcome = await scripted.finish();
    expect(outcome.kind).toBe("judged");
    const order = scripted.asked.filter((name) => ["rest", "arm", "low", "drive"].includes(name));
    expect(order.indexOf("rest")).toBe(0);
    expect(order.indexOf("arm")).toBe(1);
    expect(order.lastIndexOf("low")).toBeLessThan(order.indexOf("drive"));
    expect(scripted.asked.at(-1)).toBe("off");
    expect(scripted.outputsOff).toBe(true);
    expect(scripted.bench.closedBy).toEqual({ kind: "asked" });
  });

  it("drives the plan's circuits only, and feeds nothing into ground and sense-only pins", async () => {
    const scripted = new ScriptedWalk(plan);
    await scripted.finish();
    expect(scripted.channelsOf("drive").toSorted()).toEqual(["LT", "RT", "TM"].map(channelOf).toSorted());
    const fed = [...scripted.channelsOf("low"), ...scripted.channelsOf("drive")];
    expect(fed).not.toContain(channelOf("A"));
    expect(fed).not.toContain(channelOf("GD"));
  });

  it("feeds low current, and no more, into a pin that has no circuit", async () => {
    const scripted = new ScriptedWalk(plan);
    await scripted.finish();
    expect(scripted.channelsOf("low")).toContain(channelOf("S"));
    expect(scripted.channelsOf("drive")).not.toContain(channelOf("S"));
  });

  it("gives readings that are valid, name the bench, and carry what it measured", async () => {
    const scripted = new ScriptedWalk(plan);
    const outcome = await scripted.finish();
    if (outcome.kind !== "judged") throw new Error(JSON.stringify(outcome));
    const readings = readingsSchema.parse(outcome.readings);
    expect(readings.tester).toMatchObject({ id: "bench-01", firmware: "1.0.0" });
    expect(readings.tester.calibratedAt).toBeUndefined();
    expect(readings.source).toEqual({
      volts: 12.8,
      ohms: 0.1,
      lowVolts: 4.4,
      lowOhms: 1000,
      senseOhms: 133_000,
      tripAmps: 10,
    });
    expect(readings.ambientC).toBe(21.5);
    expect(Object.keys(readings.rest ?? {})).not.toContain("GD");
    expect(readings.drives?.[0]).toMatchObject({ amps: 2.03, peakAmps: 17, settleMs: 40, tripped: false });
  });

  it("never drives a charge line of a vehicle", async () => {
    const charged = structuredClone(plan);
    if (charged.kind !== "install") throw new Error("an install plan is needed");
    const first = charged.circuits[0];
    if (!first) throw new Error("a circuit is needed");
    first.function = "charge";
    const scripted = new ScriptedWalk(charged);
    await scripted.finish();
    expect(scripted.channelsOf("drive")).not.toContain(channelOf(first.pin));
    expect(scripted.events).toContainEqual({ kind: "skipped", pin: first.pin, why: "a charge line is never driven" });
  });

  it("says once, and with the plan's own reason, why a charge line with a battery on it is left alone", async () => {
    const charged = structuredClone(plan);
    if (charged.kind !== "install") throw new Error("an install plan is needed");
    for (const circuit of charged.circuits) if (circuit.pin === "TM") circuit.function = "charge";
    const scripted = new ScriptedWalk(charged);
    scripted.bench.millivolts[channelOf("TM")] = 12_600;
    await scripted.finish();
    expect(scripted.events.filter((event) => event.kind === "skipped")).toEqual([
      { kind: "skipped", pin: "TM", why: "a charge line is never driven" },
    ]);
    expect([...scripted.channelsOf("low"), ...scripted.channelsOf("drive")]).not.toContain(channelOf("TM"));
  });

  it("keeps off a 24 V vehicle", async () => {
    const outcome = await new ScriptedWalk({ ...plan, nominalVolts: 24 }).finish();
    expect(outcome).toMatchObject({ kind: "could-not-test", code: "nominal-volts" });
  });
});

describe("a pin that is live at rest", () => {
  it("is told, and nothing is fed into it", async () => {
    const scripted = new ScriptedWalk(plan);
    const live = channelOf("RT");
    scripted.bench.onRequest = (request) => {
      scripted.bench.millivolts[live] = request.name === "volts" ? 11_870 : 0;
      return "answered";
    };
    await scripted.finish();
    const fed = [...scripted.channelsOf("low"), ...scripted.channelsOf("drive")];
    expect(fed).not.toContain(live);
    expect(fed).toContain(channelOf("LT"));
    const told = scripted.events.filter((event) => event.kind === "skipped" && event.pin === "RT");
    expect(told).toHaveLength(1);
    expect(told[0]).toMatchObject({ why: expect.stringContaining("11.87 V") });
  });

  it("is left out when only the bench notices it, and the walk goes on", async () => {
    const scripted = new ScriptedWalk(plan);
    const live = channelOf("LT");
    scripted.bench.onRequest = (request) =>
      request.name === "drive" && request.fields.channel === live
        ? scripted.bench.refuse(request, "live", { channel: live, volts: 5200 })
        : "answered";
    const outcome = await scripted.finish();
    expect(outcome.kind).toBe("judged");
    expect(scripted.events).toContainEqual({ kind: "skipped", pin: "LT", why: expect.stringContaining("5.20 V") });
    if (outcome.kind === "judged") expect(outcome.readings.drives?.map(({ pin }) => pin)).not.toContain("LT");
  });
});

describe("a pin that trips", () => {
  it.each(["slow-trip", "fast-trip"] as const)(
    "is recorded as tripped after a %s, and the next pin is driven",
    async (end) => {
      const scripted = new ScriptedWalk(plan);
      const shorted = channelOf("TM");
      scripted.bench.onRequest = (request) => {
        if (request.name === "drive" && request.fields.channel === shorted) {
          scripted.clock.after(5, () => scripted.bench.endDrive(end));
        }
        return "answered";
      };
      const outcome = await scripted.finish();
      if (outcome.kind !== "judged") throw new Error(JSON.stringify(outcome));
      const drives = outcome.readings.drives ?? [];
      expect(drives.find(({ pin }) => pin === "TM")).toMatchObject({ tripped: true });
      expect(drives.find(({ pin }) => pin === "TM")?.settleMs).toBeUndefined();
      expect(drives.filter(({ tripped }) => !tripped)).toHaveLength(2);
      expect(scripted.asked.includes("clear")).toBe(end === "fast-trip");
    },
  );
});
