import type { Worker } from "node:worker_threads";
import type { Fault } from "../../../plan/fault.js";
import type { PortClosed } from "../../port.js";
import type { OutputState } from "../output-log.js";
import type { BenchFixture } from "../vehicle/bench-fixture.js";
import { checkedVehicle, type Vehicle } from "../vehicle/checked-vehicle.js";
import type { PlayedFunction } from "../vehicle/played-signal.js";
import type { Outlet } from "../vehicle/simulated-outlet.js";
import type { VirtualBench } from "../virtual-bench-controls.js";
import { VirtualBenchError } from "../virtual-bench-error.js";
import { EmulatedClock } from "./emulated-clock.js";
import type { BenchChange, BenchView, FromWorker, LooseSpell, ToWorker } from "./worker-messages.js";

interface Waiter {
  readonly resolve: (view: BenchView | undefined) => void;
  readonly reject: (error: VirtualBenchError) => void;
}

/**
 * What both paces share on the host's side: a worker, a clock, and the answers that are waited for. A pace says how
 * time passes (`nowMs`, `timerSooner`, `advancedTo`) and how bytes get to the worker (`write`).
 */
export abstract class VirtualBenchPort implements VirtualBench {
  readonly path = "virtual";
  readonly clock: EmulatedClock;
  readonly #worker: Worker;
  readonly #waiters = new Map<number, Waiter>();
  #ticket = 0;
  #closed: PortClosed | undefined;
  #terminated: Promise<void> | undefined;
  #bytesListener: ((bytes: Uint8Array) => void) | undefined;
  #closedListener: ((why: PortClosed) => void) | undefined;
  #outputsListener: ((state: OutputState) => void) | undefined;
  #unheard: Uint8Array[] = [];

  constructor(worker: Worker) {
    this.#worker = worker;
    this.clock = new EmulatedClock(
      () => this.nowMs(),
      () => this.timerSooner(),
    );
    worker.on("message", (message: FromWorker) => this.#receive(message));
    worker.on("error", (error) => this.#lost(error instanceof Error ? error.message : String(error)));
    worker.on("exit", () => this.#lost("the emulator ended"));
  }

  abstract write(bytes: Uint8Array): void;
  protected abstract nowMs(): number;
  /** A timer of the clock has become the next one due. */
  protected abstract timerSooner(): void;
  /** The worker has reported; `deliver` hands what it sent to the listeners. */
  protected abstract advancedTo(nowMs: number, deliver: () => void): void;

  /** The port is closed; a pace stops whatever it has going. */
  protected stopped(): void {}

  protected get closed(): boolean {
    return this.#closed !== undefined;
  }

  protected post(message: ToWorker): void {
    if (!this.closed) this.#worker.postMessage(message);
  }

  onBytes(listener: (bytes: Uint8Array) => void): void {
    this.#bytesListener = listener;
    const unheard = this.#unheard;
    this.#unheard = [];
    for (const bytes of unheard) listener(bytes);
    this.timerSooner();
  }

  onClosed(listener: (why: PortClosed) => void): void {
    this.#closedListener = listener;
    // Whoever comes late has to hear it too.
    if (this.#closed !== undefined) listener(this.#closed);
  }

  onOutputs(listener: (state: OutputState) => void): void {
    this.#outputsListener = listener;
  }

  async setVehicle(vehicle: Vehicle): Promise<void> {
    await this.#change({ what: "vehicle", vehicle: checkedVehicle(vehicle) });
  }

  plugIn(fixture: BenchFixture): Promise<void> {
    return this.#change({ what: "fixture", fixture });
  }

  setOwnFunctions(functions: readonly string[]): Promise<void> {
    return this.#change({ what: "own-functions", functions });
  }

  moveLooseContact(fault: Fault, spells: readonly LooseSpell[]): Promise<void> {
    return this.#change({ what: "loose-contact", fault, spells });
  }

  playOwn(functions: readonly PlayedFunction[]): Promise<void> {
    return this.#change({ what: "own-signals", functions });
  }

  plugOutlet(outlet: Outlet | undefined): Promise<void> {
    return this.#change({ what: "outlet", outlet });
  }

  pressStart(pressed: boolean): Promise<void> {
    return this.#change({ what: "start-button", pressed });
  }

  pressStop(pressed: boolean): Promise<void> {
    return this.#change({ what: "stop-button", pressed });
  }

  setSupply(volts: number): Promise<void> {
    return this.#change({ what: "supply", volts });
  }

  setStuckChannels(mask: number): Promise<void> {
    return this.#change({ what: "stuck-channels", mask });
  }

  powerCycle(): Promise<void> {
    return this.#change({ what: "reset", cause: "power" });
  }

  async look(): Promise<BenchView> {
    const view = await this.#ask((ticket) => ({ kind: "look", ticket }));
    if (view === undefined) throw new VirtualBenchError("ended", "The virtual bench gave no view.");
    return view;
  }

  async eeprom(): Promise<Uint8Array> {
    return (await this.look()).eeprom;
  }

  async close(): Promise<void> {
    this.#end({ kind: "asked" });
    await this.#terminated;
  }

  async #change(change: BenchChange): Promise<void> {
    await this.#ask((ticket) => ({ kind: "change", ticket, change }));
  }

  #ask(message: (ticket: number) => ToWorker): Promise<BenchView | undefined> {
    if (this.closed) return Promise.reject(new VirtualBenchError("ended", "The virtual bench is closed."));
    this.#ticket += 1;
    const ticket = this.#ticket;
    return new Promise((resolve, reject) => {
      this.#waiters.set(ticket, { resolve, reject });
      this.post(message(ticket));
    });
  }

  #receive(message: FromWorker): void {
    if (this.closed) return;
    switch (message.kind) {
      case "advanced":
        this.advancedTo(message.nowMs, () => this.#deliver(message.bytes, message.outputs));
        break;
      case "done":
        this.#answered(message.ticket)?.resolve(undefined);
        break;
      case "seen":
        this.#answered(message.ticket)?.resolve(message.view);
        break;
      case "not-done":
        this.#answered(message.ticket)?.reject(new VirtualBenchError(message.code, message.message));
        break;
      case "opened":
      case "failed":
        break;
    }
  }

  #answered(ticket: number): Waiter | undefined {
    const waiter = this.#waiters.get(ticket);
    this.#waiters.delete(ticket);
    return waiter;
  }

  #deliver(bytes: Uint8Array, outputs: readonly OutputState[]): void {
    for (const state of outputs) this.#outputsListener?.(state);
    if (bytes.length === 0) return;
    if (this.#bytesListener === undefined) this.#unheard.push(bytes);
    else this.#bytesListener(bytes);
  }

  #lost(detail: string): void {
    this.#end({ kind: "lost", detail });
  }

  #end(why: PortClosed): void {
    if (this.#closed !== undefined) return;
    this.#closed = why;
    this.clock.clear();
    this.stopped();
    this.#terminated = this.#worker.terminate().then(() => undefined);
    const waiters = [...this.#waiters.values()];
    this.#waiters.clear();
    for (const { reject } of waiters) reject(new VirtualBenchError("ended", "The virtual bench was closed."));
    this.#closedListener?.(why);
  }
}
