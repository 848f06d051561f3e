import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { BOARD } from "@pinwalk/host/bench/virtual/board/board-values.js";
import { ADC_INPUTS, CONTROLLER_PINS } from "@pinwalk/host/bench/virtual/board/controller-pins.js";
import { describe, expect, it } from "vitest";
import { firmwareNets } from "./firmware-constants.js";
import { controllerLegs, hardwareFolder, netlist } from "./netlist.js";

const design = netlist();
const legs = controllerLegs(design);

/** Net on which a leg of the controller is, by its port pin. */
function netAt(port: string): string | undefined {
  const leg = legs.get(port) ?? "";
  return Object.entries(design.nets).find(([, pins]) => pins.includes(leg))?.[0];
}

describe("the drawn bench", () => {
  it("has every net of the firmware's board header on the same pin of the controller", () => {
    const nets = firmwareNets();
    expect(nets.size).toBe(18);
    expect(Object.fromEntries([...nets].map(([net, port]) => [net, netAt(port)]))).toEqual(
      Object.fromEntries([...nets.keys()].map((net) => [net, net])),
    );
  });

  it("uses no port pin that the firmware does not name, but for reset, crystal and serial line", () => {
    const named = new Set(firmwareNets().values());
    expect([...legs.keys()].filter((port) => !named.has(port)).sort()).toEqual(["PB6", "PB7", "PC6", "PD0", "PD1"]);
  });

  it("wires the controller as the virtual bench does", () => {
    const { select, latch, outputEnable, startButton, relay, limitSense, limitClear } = CONTROLLER_PINS;
    const at = ({ port, index }: { port: string; index: number }) => netAt(`P${port}${index}`);
    expect(select.map(at)).toEqual(["SELECT_0", "SELECT_1", "SELECT_2", "SELECT_3"]);
    expect([latch, outputEnable, startButton].map(at)).toEqual(["REGISTER_LATCH", "OUTPUT_ENABLE", "START_BUTTON"]);
    expect([relay, limitSense, limitClear].map(at)).toEqual(["RELAY", "LATCH_SENSE", "LATCH_CLEAR"]);
    const { near, far, fineCurrent, supply, coarseCurrent } = ADC_INPUTS;
    expect([near, far, fineCurrent, supply, coarseCurrent].map((input) => netAt(`PC${input}`))).toEqual([
      "ADC_NEAR",
      "ADC_FAR",
      "ADC_CURRENT",
      "ADC_SUPPLY",
      "ADC_PEAK",
    ]);
  });

  it("has the values with which the virtual bench is built", () => {
    const value = (reference: string) => design.parts[reference]?.value;
    const { upperOhms, lowerOhms } = BOARD.divider;
    for (const [upper, lower] of [
      ["RN0A", "RN0B"],
      ["RF12A", "RF12B"],
      ["R2", "R3"],
    ] as const) {
      expect([value(upper), value(lower)]).toEqual([`${upperOhms / 1000} kΩ`, `${lowerOhms / 1000} kΩ`]);
    }
    expect(value("R10")).toBe(`${BOARD.shuntOhms * 1000} mΩ`);
    expect(value("U9")).toBe(`×${BOARD.fineGain}`);
    expect(value("R5E")).toBe(`${BOARD.lowSource.ohms / 1000} kΩ`);
    expect(value("R30")).toBe(`${BOARD.thermistor.pullUpOhms / 1000} kΩ`);
    expect(design.parts.RT1?.part).toContain(`B ${BOARD.thermistor.betaKelvin} K`);
    expect(value("U8")).toBe(`${BOARD.referenceVolts} V`);
    expect(value("R34")).toBe(`${BOARD.bleedOhms / 1e6} MΩ`);
    expect(design.nets.TEMPERATURE).toContain("U4.18");
  });

  it("joins at least two legs in every net, and no leg to two nets", () => {
    const ends = Object.entries(design.nets).filter(([, pins]) => pins.length < 2);
    expect(ends).toEqual([]);
    const all = Object.values(design.nets).flat();
    expect(all.filter((pin, at) => all.indexOf(pin) !== at)).toEqual([]);
  });

  it("connects every leg that is not marked open", () => {
    const connected = new Set(Object.values(design.nets).flat());
    const loose = Object.entries(design.parts).flatMap(([reference, { pins, open = [] }]) =>
      pins
        .filter((pin) => connected.has(`${reference}.${pin}`) === open.includes(pin))
        .map((pin) => `${reference}.${pin}`),
    );
    expect(loose).toEqual([]);
  });

  it("puts each channel's register output, switch and terminal on one number", () => {
    for (let channel = 0; channel < BOARD.driveChannels; channel += 1) {
      expect(design.nets[`DRIVE_${channel}`]).toContain(`Q${channel}B.G`);
      expect(design.nets[`PIN_${channel}`]).toEqual(
        expect.arrayContaining([`Q${channel}A.D`, `R${channel}E.2`, `J2.${channel + 1}`, `RN${channel}A.1`]),
      );
    }
  });
});

describe("what is generated from the design", () => {
  it("is fresh: drawings, parts list, wire list", () => {
    expect(() => execFileSync(process.execPath, [`${hardwareFolder}generate.mjs`, "--check"])).not.toThrow();
  });

  it("is fresh: the adapters, by the host's own rule", () => {
    const script = fileURLToPath(new URL("adapter-table.mjs", import.meta.url));
    expect(() => execFileSync(process.execPath, [script, "--check"])).not.toThrow();
  });

  it("lists exactly the parts that are drawn", () => {
    const rows = readFileSync(`${hardwareFolder}PARTS.md`, "utf8").matchAll(
      /^\| +(\d+) \| [^|]* \| [^|]* \| ([^|]*) \|/gm,
    );
    const listed = [...rows].flatMap(([, count, references = ""]) => {
      const found = references.split(", ").flatMap((entry) => written(entry, Object.keys(design.parts)));
      expect([references, found.length]).toEqual([references, Number(count)]);
      return found;
    });
    expect(listed.sort()).toEqual(Object.keys(design.parts).sort());
  });
});

/** "Q‹n›A (8)" as the references that it stands for. */
function written(entry: string, references: readonly string[]): string[] {
  const repeated = /^(\w+)‹n›(\w*) \((\d+)\)$/.exec(entry.trim());
  if (repeated === null) return [entry.trim()];
  const [, before = "", after = "", count] = repeated;
  const found = references.filter((reference) => new RegExp(`^${before}\\d+${after}$`).test(reference));
  expect([entry, found.length]).toEqual([entry, Number(count)]);
  return found;
}
