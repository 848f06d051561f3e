import { readFileSync } from "node:fs";
import type { BenchPort, PortClosed } from "@pinwalk/host/bench/port.js";
import { EmulatedBench } from "@pinwalk/host/bench/virtual/emulated-bench.js";
import { firmwareImagePath } from "@pinwalk/host/bench/virtual/firmware-image.js";
import { EmulatedClock } from "@pinwalk/host/bench/virtual/pace/emulated-clock.js";
import { simulatedVehicle } from "@pinwalk/host/bench/virtual/vehicle/simulated-vehicle.js";
import type { Fault } from "@pinwalk/host/plan/fault.js";
import type { Plan } from "@pinwalk/host/plan/plan-schema.js";
import { ValidLines } from "./valid-lines.js";

const imageHex = readFileSync(firmwareImagePath, "latin1");

/** Longest step when the host waits for nothing but the bench. */
const IDLE_STEP_MS = 100;
/** Least step, so that rounding of a timer's moment cannot stop time for ever. */
const LEAST_STEP_MS = 0.001;

/**
 * The committed firmware on the emulated bench as a port of this thread, host and bench in lock-step: emulated time passes only in
 * `until` and `pass`, so a host that waits for what never comes is found out instead of waited for.
 */
export class SteppedBench implements BenchPort {
  readonly path = "stepped";
  readonly machine: EmulatedBench;
  readonly clock: EmulatedClock;
  /** When the bench had the whole of each line that it must count as a sign of life. */
  readonly validLines = new ValidLines();
  #bytesListener: ((bytes: Uint8Array) => void) | undefined;
  #closedListener: ((why: PortClosed) => void) | undefined;
  #closed = false;

  constructor(plan: Plan, faults: readonly Fault[], seed: number) {
    this.machine = new EmulatedBench({ imageHex, side: simulatedVehicle(plan, faults, 20).side, seed });
    this.clock = new EmulatedClock(
      () => this.machine.nowMs,
      () => {},
    );
  }

  write(bytes: Uint8Array): void {
    if (this.#closed) return;
    this.validLines.sent(bytes, this.machine.nowMs);
    this.machine.send(bytes);
  }

  onBytes(listener: (bytes: Uint8Array) => void): void {
    this.#bytesListener = listener;
  }

  onClosed(listener: (why: PortClosed) => void): void {
    this.#closedListener = listener;
  }

  async close(): Promise<void> {
    if (this.#closed) return;
    this.#closed = true;
    this.#closedListener?.({ kind: "asked" });
  }

  /** Lets time pass until the promise has settled, at most so long. Says whether it has. */
  async until(promise: Promise<unknown>, mostMs: number): Promise<boolean> {
    let settled = false;
    const mark = (): void => {
      settled = true;
    };
    promise.then(mark, mark);
    const endMs = this.machine.nowMs + mostMs;
    await thought();
    while (!settled && this.machine.nowMs < endMs) await this.#step(endMs);
    return settled;
  }

  async pass(milliseconds: number): Promise<void> {
    const endMs = this.machine.nowMs + milliseconds;
    while (this.machine.nowMs < endMs) await this.#step(endMs);
  }

  async #step(endMs: number): Promise<void> {
    const { machine, clock } = this;
    const { nowMs } = machine;
    machine.runUntilLine(Math.max(nowMs + LEAST_STEP_MS, Math.min(endMs, clock.nextDueMs ?? nowMs + IDLE_STEP_MS)));
    const bytes = machine.takeSent();
    if (bytes.length > 0 && !this.#closed) this.#bytesListener?.(bytes);
    clock.runDue();
    await thought();
  }
}

/** Until the host has done all that it can without time passing. */
function thought(): Promise<void> {
  return new Promise((resolve) => {
    setImmediate(() => setImmediate(resolve));
  });
}
