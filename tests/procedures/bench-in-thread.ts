import { readFileSync } from "node:fs";
import type { BenchPort, Clock, PortClosed, Timer } from "@pinwalk/host/bench/port.js";
import type { AnalogSide } from "@pinwalk/host/bench/virtual/board/analog-side.js";
import { EmulatedBench, type EmulatedBenchOptions } from "@pinwalk/host/bench/virtual/emulated-bench.js";
import { firmwareImagePath } from "@pinwalk/host/bench/virtual/firmware-image.js";

interface Waiting {
  readonly atMs: number;
  readonly run: () => void;
}

/** The committed firmware in this thread with anything on its connector, as a port: time passes while the host waits, and only then. */
export class BenchInThread implements BenchPort {
  readonly path = "in-thread";
  readonly emulated: EmulatedBench;
  readonly clock: Clock;
  #timers: Waiting[] = [];
  #bytes: (bytes: Uint8Array) => void = () => undefined;
  #closed: (why: PortClosed) => void = () => undefined;
  #isClosed = false;

  constructor(side: AnalogSide, options: Partial<EmulatedBenchOptions> = {}) {
    this.emulated = new EmulatedBench({ imageHex: readFileSync(firmwareImagePath, "latin1"), side, ...options });
    this.emulated.runForMs(20);
    this.clock = {
      nowMs: () => this.emulated.nowMs,
      after: (delayMs, run) => this.#after(delayMs, run),
    };
    setImmediate(() => this.#turn());
  }

  write(bytes: Uint8Array): void {
    if (!this.#isClosed) this.emulated.send(bytes);
  }

  onBytes(listener: (bytes: Uint8Array) => void): void {
    this.#bytes = listener;
  }

  onClosed(listener: (why: PortClosed) => void): void {
    this.#closed = listener;
  }

  async close(): Promise<void> {
    if (this.#isClosed) return;
    this.#isClosed = true;
    this.#closed({ kind: "asked" });
  }

  #after(delayMs: number, run: () => void): Timer {
    const timer = { atMs: this.emulated.nowMs + delayMs, run };
    this.#timers.push(timer);
    return {
      cancel: () => {
        this.#timers = this.#timers.filter((one) => one !== timer);
      },
    };
  }

  /** To the next timer or the bench's next line; then whatever waits for it in the host goes on. */
  #turn(): void {
    if (this.#isClosed) return;
    const next = this.#timers.toSorted((a, b) => a.atMs - b.atMs)[0];
    this.emulated.runUntilLine(Math.min(next?.atMs ?? Number.POSITIVE_INFINITY, this.emulated.nowMs + 20));
    const sent = this.emulated.takeSent();
    if (sent.length > 0) this.#bytes(sent);
    if (next !== undefined && next.atMs <= this.emulated.nowMs && this.#timers.includes(next)) {
      this.#timers = this.#timers.filter((one) => one !== next);
      next.run();
    }
    setImmediate(() => this.#turn());
  }
}
