import { readFileSync } from "node:fs";

const source = (name: string) =>
  readFileSync(new URL(`../../firmware-protocol/firmware/src/${name}`, import.meta.url), "utf8");

/** A `#define` of the firmware as a number. Throws when it is gone. */
export function defined(file: string, name: string): number {
  const text = new RegExp(`#define ${name} (\\d+)`).exec(source(file))?.[1];
  if (text === undefined) throw new Error(`${file} defines no number ${name}`);
  return Number(text);
}

/** How many of the slots of one of sampling.c's patterns are of this kind, as a share. */
export function slotShare(pattern: string, slot: string): number {
  const slots = new RegExp(`${pattern}\\[PATTERN_SLOTS\\] PROGMEM = \\{([^}]*)\\}`).exec(source("sampling.c"))?.[1];
  const names = slots?.split(",").map((name) => name.trim());
  if (names === undefined) throw new Error(`sampling.c has no pattern ${pattern}`);
  return names.filter((name) => name === slot).length / names.length;
}

/** Port pins by net and converter channels by input, as board.h gives them: `RELAY` → `PC5`, `ADC_NEAR` → `PC0`. */
export function firmwareNets(): Map<string, string> {
  const board = source("board.h").replaceAll(/\\\s*\n\s*/g, " ");
  const nets = new Map<string, string>();
  for (const [, net = "", port = ""] of board.matchAll(/#define NET_(\w+)\s+(P[BCD]\d)/g)) nets.set(net, port);
  for (const [, input = "", channel = ""] of board.matchAll(/#define (ADC_\w+)\s+([0-5])\s/g))
    nets.set(input, `PC${channel}`);
  const firstSelect = Number(nets.get("SELECT_0")?.slice(2));
  const mask = Number(/#define SELECT_MASK (0x[0-9A-F]+)/.exec(board)?.[1]);
  for (let bit = 1; (mask >> (firstSelect + bit)) & 1; bit += 1) nets.set(`SELECT_${bit}`, `PD${firstSelect + bit}`);
  return nets;
}

/** The firmware's version in the table of the wire. */
export function firmwareIdentity(): string {
  const table = readFileSync(new URL("../../firmware-protocol/protocol.json", import.meta.url), "utf8");
  return (JSON.parse(table) as { firmware: string }).firmware;
}
