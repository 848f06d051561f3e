import { placeSeen } from "@pinwalk/host/plan/connectors/connector.js";
import { connectors } from "@pinwalk/host/plan/connectors.js";
import { defaultLibrary, findBulb, findWire } from "@pinwalk/host/plan/parts/parts-library.js";
import type { Sourced } from "@pinwalk/host/plan/parts/sourced.js";
import { copperPerKelvin, squareMmPerCircularMil, wireOhms } from "@pinwalk/host/plan/parts/wires.js";
import { describe, expect, it } from "vitest";

/** Every object anywhere below that carries a source. */
function sourcedRows(value: unknown, path: string): { path: string; row: Sourced }[] {
  if (typeof value !== "object" || value === null) return [];
  const below = Object.entries(value).flatMap(([key, one]) => sourcedRows(one, `${path}.${key}`));
  return "source" in value ? [{ path, row: value as Sourced }, ...below] : below;
}

const wire = (system: "awg" | "sae" | "mm2", size: number) => {
  const found = findWire(defaultLibrary, system, size);
  if (found === undefined) throw new Error(`no ${system} ${size}`);
  return found;
};

describe("every number of the library says where it comes from", () => {
  const rows = sourcedRows({ ...defaultLibrary, connectors }, "library");

  it("each row of each table has a source and a grade", () => {
    expect(rows.length).toBeGreaterThan(200);
    for (const { path, row } of rows) {
      expect(row.source.length, path).toBeGreaterThan(8);
      expect(["A", "B", "C", "D"], path).toContain(row.grade);
    }
    const tables = [
      ...defaultLibrary.bulbs,
      ...defaultLibrary.wires,
      ...defaultLibrary.diodes,
      ...defaultLibrary.fuses,
    ];
    for (const row of [...tables, ...connectors.flatMap((connector) => connector.pins)])
      expect(row).toHaveProperty("source");
    for (const one of defaultLibrary.wires)
      expect(one).toMatchObject({ carries: { source: expect.any(String) }, fuse: { source: expect.any(String) } });
  });

  it("what is known from memory alone says so", () => {
    for (const { path, row } of rows) if (row.grade === "D") expect(row.source, path).toContain("from memory");
  });
});

describe("wire", () => {
  it("has the resistance of the printed AWG tables (wp.1728.org/?p=4314, daycounter.com/Calculators/AWG.phtml)", () => {
    const printed = [
      [8, 2.06],
      [10, 3.28],
      [12, 5.21],
      [14, 8.285],
      [16, 13.17],
      [18, 20.94],
      [20, 33.3],
    ] as const;
    for (const [size, ohmsPerKm] of printed) {
      expect(Math.abs(wire("awg", size).milliohmsPerMetre / ohmsPerKm - 1), `AWG ${size}`).toBeLessThan(0.003);
    }
    expect(wire("awg", 16).squareMm).toBeCloseTo(1.309, 3);
  });

  it("of AWG 14 gives the textbook's 2300 ft run (Lessons in Electric Circuits vol. I ch. 12): 4107 cmil, 5.651 Ω", () => {
    const circularMils = wire("awg", 14).squareMm / squareMmPerCircularMil;
    expect(circularMils).toBeCloseTo(4107, 0);
    // The book counts with pure copper, 10.09 Ω·cmil/ft; the library with IACS copper, 10.371.
    expect((10.09 * 2300) / circularMils).toBeCloseTo(5.651, 2);
    expect(230 / (2 * ((10.09 * 2300) / circularMils))).toBeCloseTo(20.352, 2);
    expect((wireOhms(wire("awg", 14), 2300 * 0.3048) * circularMils) / 2300).toBeCloseTo(10.371, 2);
  });

  it("by the marine rule for 10 A, 21 ft and 3 % of 12 V is AWG 12 or SAE 10, not SAE 12 (ABYC E-11: CM = K·I·L/E)", () => {
    const asked = (10.75 * 10 * 21) / (0.03 * 12);
    expect(asked).toBeCloseTo(6271, 0);
    const mils = (system: "awg" | "sae", size: number): number => wire(system, size).squareMm / squareMmPerCircularMil;
    expect(mils("awg", 12)).toBeGreaterThan(asked);
    expect(mils("sae", 12)).toBeLessThan(asked);
    expect(mils("sae", 10)).toBeGreaterThan(asked);
  });

  it("of SAE numbers is 5 to 11 % smaller than AWG of the same number, and of higher resistance", () => {
    for (const size of [8, 10, 12, 14, 16, 18]) {
      const ratio = wire("sae", size).squareMm / wire("awg", size).squareMm;
      expect(ratio).toBeGreaterThan(0.88);
      expect(ratio).toBeLessThan(0.955);
      expect(wire("sae", size).milliohmsPerMetre).toBeGreaterThan(wire("awg", size).milliohmsPerMetre);
    }
  });

  it("warms by the IEC 60228 correction factors within 0.2 %", () => {
    const factors = [
      [20, 1],
      [30, 0.962],
      [40, 0.926],
      [50, 0.893],
      [60, 0.862],
    ] as const;
    for (const [celsius, factor] of factors) {
      expect(Math.abs(1 / (1 + copperPerKelvin * (celsius - 20)) / factor - 1)).toBeLessThan(0.005);
    }
    expect(wireOhms(wire("awg", 16), 5.8)).toBeCloseTo(0.0764, 4);
  });
});

describe("bulbs", () => {
  it("have the watts that were read for them", () => {
    const watts = [
      ["1156", 26.9],
      ["1141", 18.4],
      ["1073", 23],
      ["194", 3.78],
      ["168", 4.9],
      ["1034", 23],
    ] as const;
    for (const [id, read] of watts) {
      const bulb = findBulb(defaultLibrary, id, 12);
      expect(Math.abs(((bulb?.bright.volts ?? 0) * (bulb?.bright.amps ?? 0)) / read - 1), id).toBeLessThan(0.01);
    }
    const minor = findBulb(defaultLibrary, "1157", 12)?.dim;
    expect((minor?.volts ?? 0) * (minor?.amps ?? 0)).toBeCloseTo(8.3, 1);
  });

  it("of UN R37 stay below the largest watts of their sheet at its test voltage", () => {
    // ECE/TRANS/WP.29/GRE/2012/34, sheet PY21/5W/1: 26.5 and 6.6 W at 13.5 V.
    const bulb = findBulb(defaultLibrary, "PY21/5W", 12);
    expect(bulb?.bright.volts).toBe(13.5);
    expect((bulb?.bright.amps ?? 0) * 13.5 * (1 + (bulb?.tolerance ?? 0))).toBeLessThan(26.5 * 1.04);
    expect((bulb?.bright.amps ?? 0) * 13.5).toBeCloseTo(25, 9);
    expect((bulb?.dim?.amps ?? 0) * 13.5 * 1.1).toBeCloseTo(6.6, 9);
  });

  it("of one category are found by the system voltage", () => {
    expect(findBulb(defaultLibrary, "P21W", 12)?.bright.volts).toBe(13.5);
    expect(findBulb(defaultLibrary, "P21W", 24)?.bright.volts).toBe(28);
    expect(findBulb(defaultLibrary, "1157", 24)?.nominalVolts).toBe(12);
    expect(findBulb(defaultLibrary, "no such bulb", 12)).toBeUndefined();
  });
});

describe("connectors", () => {
  it("are the eight of the plan format, each with its contacts and one ground at least", () => {
    const counts = Object.fromEntries(connectors.map((one) => [one.id, one.pins.length]));
    expect(counts).toEqual({
      "flat-4": 4,
      "flat-5": 5,
      "round-6": 6,
      "blade-7": 7,
      "round-7-heavy": 7,
      "iso-1724": 7,
      "iso-3732": 7,
      "iso-11446": 13,
    });
    for (const { pins } of connectors) {
      expect(new Set(pins.map((pin) => pin.pin)).size).toBe(pins.length);
      expect(pins.some((pin) => pin.function === "ground")).toBe(true);
    }
  });

  it("say of each place whether a source confirms it, and draw no two contacts on one spot", () => {
    for (const { id, pins } of connectors) {
      expect(new Set(pins.map(({ place }) => `${place.x} ${place.y}`)).size, id).toBe(pins.length);
      for (const { place } of pins) {
        expect(Math.hypot(place.x, place.y)).toBeLessThanOrEqual(1);
        if (!place.confirmed) expect(place.words).toMatch(/from memory|not confirmed/);
      }
    }
  });

  it("mirror from socket to plug: clock(plug) = 12 − clock(socket) (rverscorner.com/wiring/four.htm)", () => {
    const blade = connectors.find((one) => one.id === "blade-7");
    const clocks = (half: "vehicle-socket" | "trailer-plug", side: "mating" | "wiring") =>
      Object.fromEntries((blade?.pins ?? []).map((pin) => [pin.pin, placeSeen(pin.place, { half, side }).clock]));
    expect(clocks("vehicle-socket", "mating")).toEqual({ TM: 11, LT: 9, RT: 3, GD: 7, S: 5, A: 1, AX: undefined });
    expect(clocks("trailer-plug", "mating")).toEqual({ TM: 1, LT: 3, RT: 9, GD: 5, S: 7, A: 11, AX: undefined });
    expect(clocks("vehicle-socket", "wiring")).toEqual(clocks("trailer-plug", "mating"));
    expect(clocks("trailer-plug", "wiring")).toEqual(clocks("vehicle-socket", "mating"));
    for (const { place } of blade?.pins ?? []) {
      const turned = placeSeen(place, { half: "trailer-plug", side: "mating" });
      expect(turned.x).toBeCloseTo(-place.x, 12);
      expect(turned.y).toBe(place.y);
    }
  });

  it("of seven blades use green, brown, yellow and red for different circuits in the two conventions", () => {
    const blade = connectors.find((one) => one.id === "blade-7");
    const byColour = (convention: "sae" | "rv", colour: string) =>
      blade?.pins.filter((pin) => pin.colours[convention] === colour).map((pin) => pin.pin);
    expect([byColour("rv", "green"), byColour("sae", "green")]).toEqual([["TM"], ["RT"]]);
    expect([byColour("rv", "brown"), byColour("sae", "brown")]).toEqual([["RT"], ["TM"]]);
    expect([byColour("rv", "yellow"), byColour("sae", "yellow")]).toEqual([["AX"], ["LT"]]);
    expect(byColour("rv", "red")).toEqual(["LT"]);
  });
});
