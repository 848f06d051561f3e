import { describe, expect, it } from "vitest";
import { AskedBench } from "./asked-bench.js";
import { constantsRecord as record } from "./constants-record.js";
import { steady } from "./loaded-side.js";

const named = { serial: "bench-07", date: "2026-11-01" };

describe("the constants in EEPROM", () => {
  it("name the bench and its calibration in the greeting and in hello", () => {
    const bench = AskedBench.start({ eeprom: record(named) });
    expect(bench.pushes[0]?.push.fields).toMatchObject({ serial: "bench-07" });
    expect(bench.get("hello", {})).toMatchObject({ serial: "bench-07", calibrated: "2026-11-01" });
  });

  it("scale and shift what is measured", () => {
    const eeprom = record({
      ...named,
      current: { gain: Math.round(20_480 * 1.02), offsetQ5: 0 },
      supply: { gain: Math.round(33_016 * 0.99), offsetQ5: 0 },
      near: { 3: { gain: 33_016, offsetQ5: 64 } },
    });
    const bench = AskedBench.start({ eeprom });
    bench.side.loads.set(0, steady(6));
    bench.side.foreign.set(3, 0.9);
    bench.arm();
    expect(Math.abs(bench.get("status", {}).supply - 0.99 * 12_800)).toBeLessThan(15);
    bench.get("drive", { channel: 0, most: 1_000 });
    const { fields } = bench.await("ended", 300);
    expect(Math.abs(fields.current - (1.02 * 12_800) / 6.1)).toBeLessThan(10);
    // Two counts of 16.12 mV below what an input without offset shows.
    const near = bench.get("volts", { measurement: fields.measurement, side: "near" }).volts;
    expect(Math.abs((near[3] ?? 0) - (900 - 32))).toBeLessThan(12);
  });

  it("move the slow limit with them", () => {
    const eeprom = record({ ...named, current: { gain: Math.round(20_480 * 1.1), offsetQ5: 0 } });
    const trips = (options: { eeprom?: Uint8Array }) => {
      const bench = AskedBench.start(options);
      // 2.0 A, which the one bench reads as 2.2 A.
      bench.side.loads.set(0, steady(6.3));
      bench.get("limits", { trip: 2_100, tripTime: 10, supplyMin: 10_000, supplyMax: 16_000, cool: 2_000 });
      bench.arm();
      bench.get("drive", { channel: 0, most: 1_000 });
      return bench.await("ended", 300).fields.end;
    };
    expect(trips({})).toBe("settled");
    expect(trips({ eeprom })).toBe("slow-trip");
  });

  it("are not believed when a single bit of them is wrong: design values, and it says so", () => {
    for (const at of [0, 1, 3, 40, 120, 130, 160]) {
      const eeprom = record({ ...named, supply: { gain: 30_000, offsetQ5: 0 } });
      eeprom[at] = (eeprom[at] ?? 0) ^ 0x10;
      const bench = AskedBench.start({ eeprom });
      expect(bench.get("hello", {})).toMatchObject({ serial: "-", calibrated: "-" });
      expect(Math.abs(bench.get("status", {}).supply - 12_800)).toBeLessThan(20);
    }
  });
});
