/**
 * Prints flash, RAM and the worst-case stack of a built firmware: node tools/size.mjs build/pinwalk-bench.elf
 *
 * The stack is worked out from the disassembly: what each function pushes and reserves, and who calls whom. Interrupts
 * do not nest. Exits 1 when stack and variables do not fit.
 */
import { spawnSync } from "node:child_process";
import { deepestPath, functionsIn } from "./stack-depth.mjs";

const FLASH_BYTES = 32_768;
const RAM_BYTES = 2_048;

/** Jobs are polled and stopped through pointers (src/job.h). */
const POINTERS = { job_poll: "poll", job_stop: "stopped" };

const elf = process.argv[2];
if (elf === undefined) {
  process.stderr.write("usage: node tools/size.mjs ELF\n");
  process.exit(64);
}

function output(command, args) {
  const result = spawnSync(command, args, { encoding: "utf8", maxBuffer: 64 * 1024 * 1024 });
  if (result.status !== 0) throw new Error(`${command} failed: ${result.stderr ?? result.error}`);
  return result.stdout;
}

function sectionBytes(name, listing) {
  return Number(new RegExp(`^\\${name}\\s+(\\d+)`, "m").exec(listing)?.[1] ?? 0);
}

const sections = output("avr-size", ["-A", elf]);
const flash = sectionBytes(".text", sections) + sectionBytes(".data", sections);
const variables = [".data", ".bss", ".noinit"].reduce((sum, name) => sum + sectionBytes(name, sections), 0);

const functions = functionsIn(output("avr-objdump", ["-d", elf]));
const main = deepestPath(functions, POINTERS, ({ name }) => name === "main");
const interrupt = deepestPath(functions, POINTERS, ({ name }) => /^__vector_\d+$/.test(name));
const stack = main.bytes + interrupt.bytes;
const left = RAM_BYTES - variables - stack;

const percent = (part, whole) => `${((100 * part) / whole).toFixed(1)} %`;
process.stdout.write(
  [
    `flash     ${flash} of ${FLASH_BYTES} bytes (${percent(flash, FLASH_BYTES)})`,
    `variables ${variables} of ${RAM_BYTES} bytes (${percent(variables, RAM_BYTES)})`,
    `stack     ${stack} bytes at worst: ${main.bytes} of the main loop, ${interrupt.bytes} of an interrupt on top`,
    `          ${main.path.join(" > ")}`,
    `          ${interrupt.path.join(" > ")}`,
    `left      ${left} bytes of RAM`,
    "",
  ].join("\n"),
);
process.exitCode = left < 0 || flash > FLASH_BYTES ? 1 : 0;
