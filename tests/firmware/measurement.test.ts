import { describe, expect, it } from "vitest";
import { AskedBench } from "./asked-bench.js";
import { steady } from "./loaded-side.js";

/** A filament as a load: eight times the conductance when cold, 100 ms to warm. */
const warming = (ohms: number) => (seconds: number) => ohms / (1 + 7 * Math.exp(-seconds / 0.1));

function armed(): AskedBench {
  const bench = AskedBench.start();
  bench.arm();
  return bench;
}

describe("a drive", () => {
  it("of a resistor settles in 60 ms with current, voltages and supply near the truth", () => {
    const bench = armed();
    bench.side.loads.set(0, steady(6));
    const { measurement } = bench.get("drive", { channel: 0, most: 2_000 });
    const { fields } = bench.await("ended", 300);
    const amps = 12.8 / 6.1;
    expect(fields).toMatchObject({ measurement, end: "settled" });
    const result = bench.get("result", { measurement });
    expect(result.settle).toBeLessThanOrEqual(65);
    expect(Math.abs(result.current - 1000 * amps)).toBeLessThan(8);
    expect(Math.abs(result.peak - result.current)).toBeLessThan(40);
    expect(result.samples).toBeGreaterThan(50);
    expect(result.spread).toBeLessThan(60);
    expect(Math.abs(result.supply - 1000 * (12.8 - 0.05 * amps))).toBeLessThan(12);
    const { volts } = bench.get("volts", { measurement, side: "near" });
    expect(Math.abs((volts[0] ?? Number.NaN) - 1000 * (12.8 - 0.1 * amps))).toBeLessThan(12);
    expect(volts.slice(1, 7).every((millivolts) => millivolts !== undefined && Math.abs(millivolts ?? 0) < 12)).toBe(
      true,
    );
    expect(volts.slice(7).every((millivolts) => typeof millivolts !== "number")).toBe(true);
    expect(bench.get("status", {}).state).toBe("armed");
  });

  it("of a filament shows the inrush's peak, traces at most every 20 ms, and settles at the warm current", () => {
    const bench = armed();
    bench.side.loads.set(2, warming(8));
    const { measurement } = bench.get("drive", { channel: 2, most: 4_000 });
    const { fields } = bench.await("ended", 2_000);
    const result = bench.get("result", { measurement });
    expect(fields.end).toBe("settled");
    expect(Math.abs(fields.current - 12_800 / 8.1)).toBeLessThan(8);
    expect(Math.abs(result.peak - 12_800 / 1.1)).toBeLessThan(400);
    const traces = bench.pushes.flatMap(({ push }) => (push.name === "trace" ? [push.fields] : []));
    expect(traces.length).toBeGreaterThan(10);
    expect(traces.every((trace) => trace.measurement === measurement)).toBe(true);
    const gaps = traces.slice(1).map((trace, at) => trace.at - (traces[at]?.at ?? 0));
    expect(Math.min(...gaps)).toBeGreaterThanOrEqual(19);
    expect(traces[0]?.current).toBeGreaterThan(8_000);
  });

  it.each([12, 30, 55])(
    "that its time of %i ms cuts short keeps the current and the voltage that there were",
    (most) => {
      const bench = armed();
      bench.side.loads.set(0, steady(6));
      const { measurement } = bench.get("drive", { channel: 0, most });
      expect(bench.await("ended", 100).fields).toMatchObject({ measurement, end: "time" });
      bench.run(20);
      const result = bench.get("result", { measurement });
      expect(Math.abs(result.current - 12_800 / 6.1)).toBeLessThan(25);
      const { volts } = bench.get("volts", { measurement, side: "near" });
      expect(Math.abs((volts[0] ?? 0) - (12_800 * 6) / 6.1)).toBeLessThan(25);
    },
  );

  it("is off before anything of its end is told, as the host may go on at once", () => {
    const bench = armed();
    bench.side.loads.set(0, steady(8));
    const { measurement } = bench.get("drive", { channel: 0, most: 1_000 });
    bench.await("ended", 300);
    const told = bench.pushes.filter(
      ({ push }) =>
        (push.name === "volts" || push.name === "result" || push.name === "ended") &&
        push.fields.measurement === measurement,
    );
    expect(told.map(({ push }) => push.name)).toEqual(["volts", "volts", "result", "ended"]);
    const { last } = bench.machine.outputs;
    expect(last).toMatchObject({ driveMask: 0, relayClosed: true });
    // The shortest of these lines takes the line longer than a millisecond.
    expect((told[0]?.atMs ?? 0) - last.atMs).toBeGreaterThan(1);
  });

  it("of nothing settles at nothing", () => {
    const bench = armed();
    const { measurement } = bench.get("drive", { channel: 1, most: 1_000 });
    expect(bench.await("ended", 300).fields).toMatchObject({ end: "settled" });
    expect(bench.get("result", { measurement }).current).toBeLessThan(6);
  });

  it("reads currents from 20 mA to 9.8 A within 0.3 % and 4 mA", () => {
    const bench = armed();
    for (const ohms of [640, 128, 30, 12, 4, 2, 1.2]) {
      bench.side.loads.set(0, steady(ohms));
      const { measurement } = bench.get("drive", { channel: 0, most: 1_000 });
      bench.await("ended", 300);
      const amps = 12.8 / (ohms + 0.1);
      const error = bench.get("result", { measurement }).current - 1000 * amps;
      expect(Math.abs(error)).toBeLessThan(4 + 3 * amps);
    }
  });
});

describe("rest and low", () => {
  it("rest measures every channel, near and far, armed or not, and the supply", () => {
    const bench = AskedBench.start();
    bench.side.foreign.set(3, 5.5);
    bench.side.foreign.set(12, 11.25);
    for (const arm of [false, true]) {
      if (arm) {
        bench.get("roles", { used: 0x1fff, senseOnly: 0x20, ground: 0x40 });
        bench.get("arm", {});
      }
      const { measurement, supply } = bench.get("rest", {});
      expect(Math.abs(supply - 12_800)).toBeLessThan(12);
      const { volts } = bench.get("volts", { measurement, side: "near" });
      expect(volts).toHaveLength(13);
      expect(Math.abs((volts[3] ?? 0) - 5_500)).toBeLessThan(12);
      expect(Math.abs((volts[12] ?? 0) - 11_250)).toBeLessThan(12);
      expect(bench.get("volts", { measurement, side: "far" }).volts.every((value) => Math.abs(value ?? 99) < 12)).toBe(
        true,
      );
    }
  });

  it("never takes one input for another, near or far, in thousands of conversions", () => {
    const bench = AskedBench.start();
    const nearMv = (channel: number) => 500 + 900 * channel;
    const farMv = (channel: number) => 12_000 - 700 * channel;
    for (let channel = 0; channel < 13; channel += 1) {
      bench.side.foreign.set(channel, nearMv(channel) / 1000);
      bench.side.far.set(channel, farMv(channel) / 1000);
    }
    bench.get("roles", { used: 0x1fff, senseOnly: 0x20, ground: 0x40 });
    for (let round = 0; round < 12; round += 1) {
      if (round === 6) bench.get("arm", {});
      const { measurement } = bench.get("rest", {});
      for (const [side, truth] of [
        ["near", nearMv],
        ["far", farMv],
      ] as const) {
        const { volts } = bench.get("volts", { measurement, side });
        const errors = volts.map((millivolts, channel) => Math.abs((millivolts ?? Number.NaN) - truth(channel)));
        expect(Math.max(...errors)).toBeLessThan(14);
      }
    }
  });

  it("low shows the load's share of 4.4 V behind 1 kΩ, and is off again when it answers", () => {
    const bench = armed();
    bench.side.loads.set(1, steady(160));
    const { measurement } = bench.get("low", { channel: 1 });
    expect(bench.machine.outputs.last.lowMask).toBe(0);
    const { volts } = bench.get("volts", { measurement, side: "near" });
    expect(Math.abs((volts[1] ?? 0) - (4_400 * 160) / 1_160)).toBeLessThan(12);
    const { measurement: open } = bench.get("low", { channel: 2 });
    expect(bench.get("volts", { measurement: open, side: "near" }).volts[2]).toBeGreaterThan(4_300);
    expect(bench.ask("result", { measurement: open })).toMatchObject({ code: "stale" });
  });

  it("low waits for a pin that its few milliamps have to charge, and not longer than that takes", () => {
    const times = [0, 10e-6].map((farads) => {
      const bench = armed();
      // The pin's own capacitor behind the source's 1 kΩ, discharged again each time that nothing feeds it.
      bench.side.charging.set(2, farads);
      const fromMs = bench.nowMs;
      const { measurement } = bench.get("low", { channel: 2 });
      const volts = bench.get("volts", { measurement, side: "near" }).volts[2] ?? 0;
      expect(volts).toBeGreaterThan(4_200);
      return bench.nowMs - fromMs;
    });
    const [atOnce = 0, charged = 0] = times;
    expect(charged - atOnce).toBeGreaterThan(15);
    expect(charged - atOnce).toBeLessThan(52);
  });

  it("tells what was measured before the reply, and without the far side where that is not to be looked at", () => {
    const bench = armed();
    bench.get("off", {});
    const told = (side: string) =>
      bench.pushes.filter(({ push }) => push.name === "volts" && push.fields.side === side).length;
    bench.get("rest", {});
    expect([told("near"), told("far")]).toEqual([1, 1]);
    bench.get("far", { look: 0 });
    const { measurement } = bench.get("rest", {});
    expect([told("near"), told("far")]).toEqual([2, 1]);
    expect(bench.get("volts", { measurement, side: "far" }).volts.every((value) => value === undefined)).toBe(true);
    bench.get("arm", {});
    expect(bench.ask("far", { look: 1 })).toMatchObject({ kind: "refusal", code: "busy" });
  });

  it("only the newest measurement is kept, and not given away while it runs", () => {
    const bench = armed();
    bench.side.loads.set(0, warming(8));
    expect(bench.ask("volts", { measurement: 0, side: "near" })).toMatchObject({ code: "stale" });
    const { measurement: first } = bench.get("rest", {});
    const { measurement: second } = bench.get("drive", { channel: 0, most: 1_000 });
    expect(second).toBe(first + 1);
    expect(bench.ask("volts", { measurement: first, side: "near" })).toMatchObject({
      code: "stale",
      fields: { measurement: second },
    });
    expect(bench.ask("volts", { measurement: second, side: "near" })).toMatchObject({ code: "busy" });
    expect(bench.ask("result", { measurement: second })).toMatchObject({ code: "busy" });
    expect(bench.ask("roles", { used: 1, senseOnly: 0, ground: 0 })).toMatchObject({ code: "busy" });
    expect(bench.machine.outputs.last.driveMask).toBe(1);
  });
});

describe("the rest of the bench", () => {
  it.each([-12, 20, 41.5])("knows that it is at %f °C", (ambientC) => {
    const { temperature } = AskedBench.start({ ambientC }).get("status", {});
    expect(Math.abs(temperature - 10 * ambientC)).toBeLessThanOrEqual(3);
  });

  it("tells of the start button once per press, however it bounces", () => {
    const bench = AskedBench.start();
    for (let press = 0; press < 2; press += 1) {
      for (let bounce = 0; bounce < 5; bounce += 1) {
        bench.machine.pressStart(bounce % 2 === 0);
        bench.run(3);
      }
      bench.run(200);
      bench.machine.pressStart(false);
      bench.run(100);
    }
    expect(bench.pushNames().filter((name) => name === "button")).toHaveLength(2);
  });

  it("answers ping and off in the middle of anything", () => {
    const bench = armed();
    const rest = bench.send("rest", {});
    expect(bench.ask("ping", {})).toMatchObject({ kind: "reply" });
    expect(bench.get("off", {}).state).toBe("idle");
    expect(bench.answerTo(rest)).toMatchObject({ kind: "reply", name: "rest" });
  });

  it("says that it is uncalibrated, and has no serial number, while its EEPROM is blank", () => {
    const bench = AskedBench.start();
    expect(bench.get("hello", {})).toEqual({
      protocol: 2,
      firmware: "1.0.0",
      serial: "-",
      channels: 13,
      driveChannels: 8,
      calibrated: "-",
      reset: "power",
    });
  });

  it("keeps the supply and the fields of limits that it was given", () => {
    const bench = AskedBench.start();
    const wanted = { trip: 4_321, tripTime: 55, supplyMin: 11_000, supplyMax: 15_000, cool: 3_000 };
    expect(bench.get("limits", wanted)).toEqual(wanted);
    expect(Math.abs(bench.get("status", {}).supply - 12_800)).toBeLessThan(20);
  });
});
