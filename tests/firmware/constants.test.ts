import type { RequestFields } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { words } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { EmulatedBench } from "@pinwalk/host/bench/virtual/emulated-bench.js";
import { describe, expect, it } from "vitest";
import { AskedBench, imageHex } from "./asked-bench.js";
import { LoadedSide, steady } from "./loaded-side.js";

type Staged = RequestFields["stage"];

/** A bench whose EEPROM is this one's. */
function startedWith(eeprom: Uint8Array): AskedBench {
  return AskedBench.start({ eeprom: Uint8Array.from(eeprom) });
}

function store(bench: AskedBench, date: string) {
  const tag = bench.send("store", { date });
  bench.run(1_200);
  return bench.answerTo(tag);
}

const inForce = (bench: AskedBench, item: Staged["item"], channel = 0) =>
  bench.get("constant", { item, channel }).value;

/** Each item with a value of its own, at the last of its channels. */
const staged: readonly Staged[] = words.constant.map((item, at) => {
  const channel = item.startsWith("near") || item.startsWith("far") ? 12 : 0;
  if (item === "low-volts") return { item, channel, value: 4_321 };
  if (item === "low-ohms") return { item, channel, value: 1_012 };
  if (item.startsWith("u-")) return { item, channel, value: 100 + at };
  if (item.endsWith("offset")) return { item, channel, value: 32_768 - 100 + at * 20 };
  return {
    item,
    channel,
    value: (item.startsWith("peak") ? 51_000 : item.startsWith("current") ? 20_000 : 33_000) + at,
  };
});

describe("constants over the wire", () => {
  it("are the design values on a new bench", () => {
    const bench = AskedBench.start();
    expect(inForce(bench, "near-gain", 12)).toBe(33_016);
    expect(inForce(bench, "current-gain")).toBe(20_480);
    expect(inForce(bench, "far-offset", 3)).toBe(32_768);
    expect(inForce(bench, "low-ohms")).toBe(1_000);
  });

  it("are in force at once, in every reading and limit, and end the calibration's date", () => {
    const bench = AskedBench.start();
    bench.get("serial", { serial: "bench-09" });
    expect(store(bench, "2026-11-20")).toMatchObject({ fields: { date: "2026-11-20", revision: 1 } });
    expect(bench.get("hello", {})).toMatchObject({ serial: "bench-09", calibrated: "2026-11-20" });
    bench.get("stage", { item: "near-gain", channel: 3, value: Math.round(33_016 * 1.05) });
    bench.get("stage", { item: "near-offset", channel: 3, value: 32_768 + 64 });
    expect(bench.get("hello", {}).calibrated).toBe("-");
    bench.side.foreign.set(3, 6);
    const { measurement } = bench.get("rest", {});
    const near = bench.get("volts", { measurement, side: "near" }).volts[3] ?? 0;
    expect(Math.abs(near - (6_000 - 32) * 1.05)).toBeLessThan(15);
    bench.get("stage", { item: "current-gain", channel: 0, value: Math.round(20_480 * 1.1) });
    bench.side.loads.set(0, steady(6.3));
    bench.get("limits", { trip: 2_100, tripTime: 10, supplyMin: 10_000, supplyMax: 16_000, cool: 2_000 });
    bench.side.foreign.clear();
    bench.arm();
    bench.get("drive", { channel: 0, most: 1_000 });
    expect(bench.await("ended", 300).fields.end).toBe("slow-trip");
  });

  it("outlive power when stored, each under its own name, and not otherwise", () => {
    const bench = AskedBench.start();
    for (const one of staged) expect(bench.get("stage", one)).toEqual(one);
    const forgotten = startedWith(bench.machine.eeprom);
    expect(inForce(forgotten, "low-ohms")).toBe(1_000);
    store(bench, "2026-11-21");
    const kept = startedWith(bench.machine.eeprom);
    for (const { item, channel, value } of staged) expect([item, inForce(kept, item, channel)]).toEqual([item, value]);
    expect(kept.get("hello", {}).calibrated).toBe("2026-11-21");
    expect(kept.get("check", {}).copies).toBe(1);
  });

  it("are refused out of a sane range, for a channel that an item has not, and while armed", () => {
    const bench = AskedBench.start();
    const refusal = (item: Staged["item"], channel: number, value: number) =>
      bench.ask("stage", { item, channel, value });
    for (const [item, value] of [
      ["near-gain", 28_888],
      ["near-gain", 37_144],
      ["current-gain", 0],
      ["peak-gain", 65_535],
      ["supply-offset", 32_768 + 1_025],
      ["far-offset", 0],
      ["low-volts", 2_999],
      ["low-ohms", 2_001],
    ] as const) {
      expect([item, refusal(item, 0, value)]).toMatchObject([item, { code: "range", fields: { field: 2 } }]);
    }
    expect(refusal("low-ohms", 1, 1_000)).toMatchObject({ code: "range", fields: { field: 1 } });
    expect(bench.ask("constant", { item: "peak-gain", channel: 2 })).toMatchObject({
      code: "range",
      fields: { field: 1 },
    });
    bench.arm();
    expect(refusal("low-ohms", 0, 1_001)).toMatchObject({ code: "busy" });
    expect(bench.ask("serial", { serial: "x" })).toMatchObject({ code: "busy" });
    expect(bench.ask("store", { date: "-" })).toMatchObject({ code: "busy" });
    expect(bench.ask("check", {})).toMatchObject({ code: "busy" });
    expect(inForce(bench, "low-ohms")).toBe(1_000);
    expect(bench.get("hello", {}).serial).toBe("-");
  });

  it("survive a power cut after any byte of the writing: the old ones or the new, never a mixture or none", () => {
    const bench = AskedBench.start();
    bench.get("stage", { item: "low-ohms", channel: 0, value: 1_001 });
    store(bench, "2026-11-01");
    bench.get("stage", { item: "low-ohms", channel: 0, value: 1_002 });
    store(bench, "2026-11-02");
    expect(bench.get("check", {}).copies).toBe(2);
    // The third goes over the first. What lay there after each byte is kept as it was.
    bench.get("stage", { item: "low-ohms", channel: 0, value: 1_003 });
    bench.get("stage", { item: "near-gain", channel: 12, value: 33_333 });
    const states = [Uint8Array.from(bench.machine.eeprom)];
    const tag = bench.send("store", { date: "2026-11-03" });
    for (let at = 0; at < 3_000; at++) {
      bench.run(0.4);
      const last = states.at(-1) ?? new Uint8Array();
      if (bench.machine.eeprom.some((byte, index) => byte !== last[index]))
        states.push(Uint8Array.from(bench.machine.eeprom));
    }
    expect(bench.answerTo(tag)).toMatchObject({ kind: "reply", fields: { date: "2026-11-03", revision: 3 } });
    expect(states.length).toBeGreaterThan(8);
    // A byte that the power was cut in may hold anything.
    const torn = states.slice(1).map((state, at) => {
      const before = states[at] ?? state;
      return state.map((byte, index) => (byte === before[index] ? byte : 0x5a));
    });
    const seen = [...states, ...torn].map((eeprom) => {
      const after = new AskedBench(new EmulatedBench({ imageHex, side: new LoadedSide(), eeprom }), new LoadedSide());
      after.run(20);
      const { calibrated } = after.get("hello", {});
      return `${calibrated} ${inForce(after, "low-ohms")} ${inForce(after, "near-gain", 12)}`;
    });
    const [before, after] = ["2026-11-02 1002 33016", "2026-11-03 1003 33333"];
    expect(new Set(seen)).toEqual(new Set([before, after]));
    expect(seen[0]).toBe(before);
    expect(seen[states.length - 1]).toBe(after);
    expect(seen.filter((one) => one === after)).toHaveLength(1);
  }, 60_000);

  it("is told when the EEPROM does not hold what was written, and the copy before still stands", () => {
    const bench = AskedBench.start();
    bench.get("serial", { serial: "first" });
    store(bench, "2026-11-01");
    const tag = bench.send("store", { date: "2026-11-02" });
    // A cell that gives way as soon as it is written.
    for (let at = 0; at < 1_200 && !bench.hasAnswer(tag); at++) {
      bench.machine.eeprom[256 + 60] = 0x11;
      bench.run(1);
    }
    expect(bench.answerTo(tag)).toMatchObject({ kind: "refusal", code: "not-stored" });
    expect(bench.get("hello", {}).calibrated).toBe("-");
    expect(startedWith(bench.machine.eeprom).get("hello", {})).toMatchObject({
      serial: "first",
      calibrated: "2026-11-01",
    });
  });
});

describe("what the bench says of itself", () => {
  it("is what its surroundings are", () => {
    const bench = AskedBench.start({ ambientC: 25 });
    const check = bench.get("check", {});
    expect(check).toMatchObject({ copies: 0 });
    expect(check.ground).toBeLessThan(4);
    expect(check.spare).toBeLessThan(4);
    expect(Math.abs(check.thermistor - 2_048)).toBeLessThan(6);
    expect(Math.abs(check.temperature - 250)).toBeLessThan(5);
    expect(Math.abs(check.bandgap - 1_100)).toBeLessThan(6);
    expect(check.current).toBeLessThan(10);
    expect(Math.abs(check.supply - 12_800)).toBeLessThan(20);
    expect(bench.isOff).toBe(true);
  });
});
