/** Reads the design (one file a sheet), repeats what is built several times, and says what contradicts itself. */
import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { pinsOf } from "./symbols.mjs";

const here = dirname(fileURLToPath(import.meta.url));
const folder = join(here, "..", "design");
const read = (name) => JSON.parse(readFileSync(join(folder, name), "utf8"));

export const layout = read("layout.json");
export const sheets = layout.sheets.map((name) => ({ name, ...read(`${name}.json`) }));

const indices = (sheet) => sheet.repeat?.indices ?? [""];
const named = (text, index) => text.replaceAll("{n}", String(index));

/** Every part that is built, by reference: value, part, why, its sheet, and the pins that its symbol shows. */
export function builtParts() {
  const built = new Map();
  for (const sheet of sheets) {
    for (const [reference, part] of Object.entries(sheet.parts)) {
      for (const index of indices(sheet)) {
        const name = named(reference, index);
        if (built.has(name) && reference.includes("{n}")) throw new Error(`${name} is drawn twice`);
        built.set(name, { ...part, sheet: sheet.name, pins: [...pinsOf(part).keys()] });
      }
    }
  }
  return built;
}

/** Every net with all pins on it, over all sheets and repetitions. */
export function builtNets() {
  const nets = new Map();
  for (const sheet of sheets) {
    for (const [net, pins] of Object.entries(sheet.nets)) {
      for (const index of indices(sheet)) {
        const name = named(net, index);
        const members = nets.get(name) ?? new Set();
        for (const pin of pins) members.add(named(pin, index));
        nets.set(name, members);
      }
    }
  }
  return new Map([...nets].map(([name, pins]) => [name, [...pins]]));
}

/** Sentences about pins that are on two nets or on none, wires that join two nets, and nets that end in the air. */
export function contradictions() {
  const wrong = [];
  const parts = builtParts();
  const netOfPin = new Map();
  for (const [net, pins] of builtNets()) {
    if (pins.length < 2) wrong.push(`net ${net} has fewer than two pins`);
    for (const pin of pins) {
      const [reference = "", number = ""] = pin.split(".");
      if (!parts.get(reference)?.pins.includes(number)) wrong.push(`net ${net} names ${pin}, which no symbol has`);
      if (netOfPin.has(pin)) wrong.push(`${pin} is on ${netOfPin.get(pin)} and on ${net}`);
      netOfPin.set(pin, net);
    }
  }
  for (const [reference, part] of parts) {
    for (const number of part.pins) {
      const open = part.open?.includes(number) ?? false;
      if (netOfPin.has(`${reference}.${number}`) === open) {
        wrong.push(`${reference}.${number} is ${open ? "marked open but connected" : "on no net"}`);
      }
    }
  }
  return wrong;
}
