import { type ChildProcess, spawn, spawnSync } from "node:child_process";
import { closeSync, constants, mkdtempSync, openSync, readSync, rmSync, writeSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { firmwareImagePath } from "@pinwalk/host/bench/virtual/firmware-image.js";
import type { OutputState } from "@pinwalk/host/bench/virtual/output-log.js";
import type { Machine } from "../firmware/asked-bench.js";

const source = fileURLToPath(new URL("./runner.c", import.meta.url));
const libraries = ["-lsimavr", "-lelf", "-lutil", "-lm"];
const ANSWER_WITHIN_MS = 60_000;

/** Whether this machine has a C compiler and libsimavr. */
export function simavrFound(): boolean {
  const input =
    "#include <simavr/sim_avr.h>\n#include <libelf.h>\nint main(void) { return avr_make_mcu_by_name(0) != 0; }\n";
  return spawnSync("gcc", ["-x", "c", "-", "-o", "/dev/null", ...libraries], { input }).status === 0;
}

/**
 * The committed image on libsimavr in a process of its own, its serial line a pseudo-terminal. Runs in lock-step and without a
 * promise, as the emulated bench of this thread does, so that the same questions can be asked of both.
 */
export class SimavrBench implements Machine {
  readonly #folder = mkdtempSync(join(tmpdir(), "pinwalk-simavr-"));
  readonly #process: ChildProcess;
  readonly #commands: number;
  readonly #answers: number;
  readonly #line: number;
  readonly #log: OutputState[] = [{ atMs: 0, relayClosed: false, driveMask: 0, lowMask: 0, limitTripped: false }];
  #text = "";
  #begun = false;
  #nowMs = 0;
  #sentBytes = 0;
  #heardBytes = 0;
  #heard: Buffer[] = [];

  constructor() {
    const program = join(this.#folder, "runner");
    const flags = ["-std=gnu11", "-O2", "-Wall", "-Wextra", "-Werror"];
    const compiled = spawnSync("gcc", [...flags, "-o", program, source, ...libraries], { encoding: "utf8" });
    if (compiled.status !== 0) throw new Error(`the runner does not compile:\n${compiled.stderr}`);
    const [commands, answers] = ["commands", "answers"].map((name) => join(this.#folder, name)) as [string, string];
    spawnSync("mkfifo", [commands, answers]);
    this.#process = spawn(program, [firmwareImagePath, commands, answers], { stdio: ["ignore", "inherit", "inherit"] });
    // Neither opening waits for the other end, so a runner that does not start is found out by the time limit.
    this.#commands = openSync(commands, constants.O_RDWR);
    this.#answers = openSync(answers, constants.O_RDONLY | constants.O_NONBLOCK);
    const [, path = ""] = this.#answer().split(" ");
    this.#line = openSync(path, constants.O_RDWR | constants.O_NOCTTY);
  }

  /** Hangs a load on a near channel. */
  load(channel: number, ohms: number): void {
    writeSync(this.#commands, `load ${channel} ${Math.round(ohms * 1000)}\n`);
  }

  /** Puts a supply of its own on a near channel. */
  foreign(channel: number, volts: number): void {
    writeSync(this.#commands, `foreign ${channel} ${Math.round(volts * 1000)}\n`);
  }

  /** Puts a voltage on a far channel. */
  far(channel: number, volts: number): void {
    writeSync(this.#commands, `far ${channel} ${Math.round(volts * 1000)}\n`);
  }

  get nowMs(): number {
    return this.#nowMs;
  }

  get outputs(): Machine["outputs"] {
    const last = this.#log.at(-1);
    if (last === undefined) throw new Error("the log is never empty");
    return { entries: this.#log, last };
  }

  /** What has been sent is on the runner's side of the line before time goes on; how far it has come is not known here. */
  get bytesWaiting(): number {
    return 0;
  }

  send(bytes: Uint8Array | string): void {
    const all = typeof bytes === "string" ? Buffer.from(bytes, "latin1") : Buffer.from(bytes);
    this.#sentBytes += all.length;
    for (let at = 0; at < all.length; ) at += writeSync(this.#line, all, at);
  }

  takeSent(): Uint8Array {
    return Buffer.concat(this.#heard.splice(0));
  }

  runUntilMs(untilMs: number): void {
    if (untilMs <= this.#nowMs) return;
    writeSync(this.#commands, `go ${Math.ceil(untilMs * 1000)} ${this.#sentBytes}\n`);
    for (;;) {
      const [kind, us, ...values] = this.#answer().split(" ");
      const atMs = Number(us) / 1000;
      const [first = 0, second = 0, third = 0] = values.map(Number);
      if (kind === "out") {
        this.#log.push({ atMs, relayClosed: first === 1, driveMask: second, lowMask: third, limitTripped: false });
      } else {
        this.#nowMs = atMs;
        this.#hear(first);
        return;
      }
    }
  }

  close(): void {
    for (const file of [this.#commands, this.#answers, this.#line]) closeSync(file);
    this.#process.kill();
    rmSync(this.#folder, { recursive: true, force: true });
  }

  /** Reads from the line until so many bytes in all have come. */
  #hear(total: number): void {
    while (this.#heardBytes < total) {
      const buffer = Buffer.alloc(total - this.#heardBytes);
      const length = readSync(this.#line, buffer);
      this.#heardBytes += length;
      this.#heard.push(buffer.subarray(0, length));
    }
  }

  /** The runner's next line. */
  #answer(): string {
    const end = Date.now() + ANSWER_WITHIN_MS;
    for (;;) {
      const at = this.#text.indexOf("\n");
      if (at >= 0) {
        const line = this.#text.slice(0, at);
        this.#text = this.#text.slice(at + 1);
        return line;
      }
      if (!this.#read() && Date.now() > end) throw new Error("the runner does not answer");
    }
  }

  #read(): boolean {
    const buffer = Buffer.alloc(4096);
    try {
      const length = readSync(this.#answers, buffer);
      this.#text += buffer.toString("latin1", 0, length);
      if (length > 0) {
        this.#begun = true;
        return true;
      }
      if (this.#begun) throw new Error("the runner has ended");
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== "EAGAIN") throw error;
    }
    // Nothing yet: let the runner have the processor.
    Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 0.05);
    return false;
  }
}
