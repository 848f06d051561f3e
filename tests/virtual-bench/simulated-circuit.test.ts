import type { Switching } from "@pinwalk/host/bench/virtual/board/analog-side.js";
import { SimulatedCircuit } from "@pinwalk/host/bench/virtual/vehicle/simulated-circuit.js";
import { filamentAmps } from "@pinwalk/host/circuit/filament.js";
import type { Part } from "@pinwalk/host/circuit/network.js";
import { describe, expect, it } from "vitest";

/** A 1156: 2.10 A at 12.8 V. */
const BULB = { designVolts: 12.8, designAmps: 2.1 };

function onChannels(nodes: Record<number, string>): (string | undefined)[] {
  return Array.from({ length: 13 }, (_, channel) => nodes[channel]);
}

function circuit(parts: readonly Part[], near: Record<number, string>, far: Record<number, string> = {}) {
  return new SimulatedCircuit(parts, { reference: "ground", near: onChannels(near), far: onChannels(far) });
}

function switching(over: Partial<Switching>): Switching {
  return { supplyVolts: 12.8, relayClosed: true, driveMask: 0, lowMask: 0, ...over };
}

const bulbToGround: Part = { kind: "filament", id: "bulb", a: "pin", b: "ground", model: BULB, celsius: 20 };

describe("a simulated circuit", () => {
  it("puts the supply behind 0.10 Ω on a driven pin and measures it behind fuse and lead", () => {
    const side = circuit([{ kind: "resistor", id: "load", a: "pin", b: "ground", ohms: 6.3 }], { 0: "pin" });
    side.switchTo(switching({ driveMask: 1 }), 0);
    expect(side.shuntAmps(0)).toBeCloseTo(2, 3);
    expect(side.nearVolts(0, 0)).toBeCloseTo(12.6, 3);
    expect(side.supplyVolts(0)).toBeCloseTo(12.7, 3);
  });

  it("drives nothing while the relay is open", () => {
    const side = circuit([{ kind: "resistor", id: "load", a: "pin", b: "ground", ohms: 6.3 }], { 0: "pin" });
    side.switchTo(switching({ driveMask: 1, relayClosed: false }), 0);
    expect(side.shuntAmps(0)).toBeCloseTo(0, 6);
    expect(side.nearVolts(0, 0)).toBeCloseTo(0, 3);
    expect(side.supplyVolts(0)).toBeCloseTo(12.8, 6);
  });

  it("feeds the low current from 4.4 V behind 1 kΩ, with 133 kΩ to ground on every sensed pin", () => {
    const side = circuit([{ kind: "resistor", id: "joint", a: "pin", b: "other", ohms: 10 }], { 0: "pin", 9: "other" });
    side.switchTo(switching({ lowMask: 1 }), 0);
    // Two dividers of 133 kΩ in parallel, one of them through 10 Ω.
    const sensed = 1 / (1 / 133_000 + 1 / 133_010);
    expect(side.nearVolts(0, 0)).toBeCloseTo((4.4 * sensed) / (1000 + sensed), 6);
    expect(side.nearVolts(9, 0)).toBeCloseTo(side.nearVolts(0, 0) * (133_000 / 133_010), 6);
  });

  it("reads far pins, and 0 V on channels that are wired to nothing", () => {
    const wire: Part = { kind: "resistor", id: "wire", a: "pin", b: "far-pin", ohms: 1 };
    const load: Part = { kind: "resistor", id: "load", a: "far-pin", b: "ground", ohms: 47 };
    const side = circuit([wire, load], { 2: "pin" }, { 1: "far-pin" });
    side.switchTo(switching({ driveMask: 4 }), 0);
    expect(side.farVolts(1, 0)).toBeCloseTo((12.8 * 47) / 48.1, 2);
    expect(side.farVolts(2, 0)).toBe(0);
    expect(side.nearVolts(0, 0)).toBe(0);
  });

  it("shows the inrush of a cold filament: some eightfold through this bench, less than three times after 100 ms", () => {
    const side = circuit([bulbToGround], { 0: "pin" });
    side.switchTo(switching({ driveMask: 1 }), 0);
    // Cold resistance of this bulb: 13 to 15 times lower than its 6.1 Ω, plus 0.10 Ω of the bench.
    expect(side.shuntAmps(0)).toBeGreaterThan(12.8 / (6.095 / 13 + 0.1));
    expect(side.shuntAmps(0)).toBeLessThan(12.8 / (6.095 / 15 + 0.1));
    expect(side.shuntAmps(0.1)).toBeLessThan(3 * 2.1);
    expect(side.shuntAmps(0.1)).toBeGreaterThan(side.shuntAmps(0.2));
  });

  it("settles at the filament's steady law", () => {
    const side = circuit([bulbToGround], { 0: "pin" });
    side.switchTo(switching({ driveMask: 1 }), 0);
    const volts = side.nearVolts(0, 5);
    expect(side.shuntAmps(5)).toBeCloseTo(filamentAmps(BULB, volts), 3);
  });

  it("remembers how warm a filament is when it is driven again", () => {
    const side = circuit([bulbToGround], { 0: "pin" });
    side.switchTo(switching({ driveMask: 1 }), 0);
    side.switchTo(switching({}), 3);
    side.switchTo(switching({ driveMask: 1 }), 3.05);
    const warm = side.shuntAmps(3.05);
    side.switchTo(switching({}), 4);
    side.switchTo(switching({ driveMask: 1 }), 60);
    const cold = side.shuntAmps(60);
    expect(warm).toBeLessThan(cold / 3);
    expect(cold).toBeGreaterThan(15);
  });

  it("gives the same currents whether it is asked often or seldom", () => {
    const often = circuit([bulbToGround], { 0: "pin" });
    const seldom = circuit([bulbToGround], { 0: "pin" });
    for (const side of [often, seldom]) side.switchTo(switching({ driveMask: 1 }), 0);
    for (let sample = 0; sample < 5000; sample += 1) often.shuntAmps(sample * 0.0001);
    expect(often.shuntAmps(0.5)).toBe(seldom.shuntAmps(0.5));
  });

  it("names what is wrong with a network that cannot be solved", () => {
    const floating: Part = { kind: "resistor", id: "stray", a: "here", b: "there", ohms: 1 };
    expect(() => circuit([floating], { 0: "pin" })).toThrow(expect.objectContaining({ code: "unsolvable" }));
  });
});
