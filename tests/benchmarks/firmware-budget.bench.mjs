import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { encodeRequest } from "@pinwalk/firmware-protocol/request-line.js";
import { EmulatedBench } from "@pinwalk/host/bench/virtual/emulated-bench.js";

export const title = "Firmware: cycles of each interrupt and the stack, as executed";

const image = fileURLToPath(new URL("../../firmware-protocol/firmware/image/pinwalk-bench.hex", import.meta.url));
const VECTORS = {
  7: "tick (every 16000 cycles)",
  18: "byte received",
  19: "byte to send",
  21: "conversion (every 1664)",
};
const WORDS_PER_VECTOR = 2;
const SRAM_START = 0x100;
const STACK_POINTER = 0x5d;
const CYCLE_MS = 1 / 16_000;
/** What the hardware takes to get to a vector (data sheet, section 7.7; from memory). */
const ENTRY_CYCLES = 4;

/** A connector whose channel 0 has a load that a test sets, and whose far pin follows. */
class OneLoad {
  ohms = 47;
  #on = false;
  #volts = 0;

  switchTo({ relayClosed, driveMask, supplyVolts }) {
    this.#on = relayClosed && driveMask === 1;
    this.#volts = supplyVolts;
  }

  shuntAmps() {
    return this.#on ? this.#volts / (this.ohms + 0.1) : 0;
  }

  nearVolts(channel) {
    return channel === 0 && this.#on ? this.#volts - 0.1 * this.shuntAmps() : 0;
  }

  farVolts(channel) {
    return 0.98 * this.nearVolts(channel);
  }

  supplyVolts() {
    return this.#volts;
  }
}

/** Everything that the bench does, one after another: `[request, fields, milliseconds, what the world does before]`. */
const script = [
  ["roles", { used: 0x7f, senseOnly: 0x20, ground: 0x40 }, 10],
  ["rest", {}, 130],
  ["check", {}, 40],
  ["arm", {}, 120],
  ["low", { channel: 1 }, 80],
  ["drive", { channel: 0, most: 2_000 }, 200],
  ["watch", { channel: 0, mode: "drive", what: "far", below: 6_000 }, 60],
  ["keep", { measurement: 4 }, 40, { ohms: 1e9 }],
  ["keep", { measurement: 4 }, 40, { ohms: 47 }],
  ["keep", { measurement: 4 }, 130, { ohms: 0.9 }],
  ["watched", { measurement: 4 }, 10],
  ["arm", {}, 120, { ohms: 47 }],
  ["hold", { channel: 0 }, 100],
  ["drive", { channel: 1, most: 50 }, 40],
  ["watch", { channel: 9, mode: "listen", what: "near", below: 1_000 }, 60],
  ["off", {}, 20],
  ["stage", { item: "low-ohms", channel: 0, value: 1_001 }, 10],
  ["store", { date: "2026-11-25" }, 700],
  ["restart", {}, 400],
];

function start(side) {
  return new EmulatedBench({ imageHex: readFileSync(image, "utf8"), side });
}

function play(bench, side, run) {
  run(60);
  let tag = 0;
  for (const [name, fields, milliseconds, world = {}] of script) {
    Object.assign(side, world);
    tag += 1;
    bench.send(encodeRequest(tag, name, fields));
    run(milliseconds);
    if (tag === script.length >> 1) bench.send("?00 no such line*0000\n");
  }
  bench.takeSent();
}

/** Bytes between the variables and the deepest that the stack has come: what was never written since power-up. */
export function untouchedBytes() {
  const side = new OneLoad();
  const bench = start(side);
  const before = Uint8Array.from(bench.inside.memory);
  play(bench, side, (milliseconds) => bench.runForMs(milliseconds));
  const after = bench.inside.memory;
  let longest = { from: SRAM_START, bytes: 0 };
  let run = 0;
  for (let at = SRAM_START; at < after.length; at += 1) {
    run = after[at] === before[at] ? run + 1 : 0;
    if (run > longest.bytes) longest = { from: at + 1 - run, bytes: run };
  }
  return { untouched: longest.bytes, stack: after.length - longest.from - longest.bytes };
}

/** Longest run of each interrupt in cycles, entry and return included, and longest turn of the main loop. */
export function longestInterrupts() {
  const side = new OneLoad();
  const bench = start(side);
  const longest = new Map();
  let running;
  play(bench, side, (milliseconds) => {
    const end = bench.nowMs + milliseconds;
    while (bench.nowMs < end) {
      const from = bench.cycles;
      bench.runUntilMs(bench.nowMs + CYCLE_MS / 2);
      const { programCounter, memory } = bench.inside;
      const stack = memory[STACK_POINTER] | (memory[STACK_POINTER + 1] << 8);
      const vector = programCounter / WORDS_PER_VECTOR;
      const enters = VECTORS[vector] !== undefined && (running === undefined || stack >= running.stack);
      // One interrupt may follow on another at once: the end of the first shows as the vector of the next.
      if (running !== undefined && (enters || stack > running.stack)) {
        const cycles = bench.cycles - running.from - (enters ? ENTRY_CYCLES : 0);
        longest.set(running.vector, Math.max(longest.get(running.vector) ?? 0, cycles));
        running = undefined;
      }
      if (enters) running = { vector, stack, from: Math.max(from, bench.cycles - ENTRY_CYCLES) };
    }
  });
  return longest;
}

export async function run() {
  const { untouched, stack } = untouchedBytes();
  const line = (name, value) => process.stdout.write(`${name.padEnd(34)}${value}\n`);
  line("stack, deepest", `${stack} bytes`);
  line("RAM never touched", `${untouched} bytes`);
  for (const [vector, cycles] of [...longestInterrupts()].sort(([one], [other]) => one - other)) {
    line(VECTORS[vector], `${cycles} cycles, ${(cycles / 16).toFixed(1)} us`);
  }
}

if (process.argv[1] === fileURLToPath(import.meta.url)) await run();
