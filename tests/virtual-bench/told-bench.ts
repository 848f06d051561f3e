import { readFileSync } from "node:fs";
import { sealLine } from "@pinwalk/firmware-protocol/line-seal.js";
import { EmulatedBench, type EmulatedBenchOptions } from "@pinwalk/host/bench/virtual/emulated-bench.js";
import { firmwareImagePath } from "@pinwalk/host/bench/virtual/firmware-image.js";
import { simulatedVehicle } from "@pinwalk/host/bench/virtual/vehicle/simulated-vehicle.js";
import { type Adapter, adapterOf } from "@pinwalk/host/plan/adapter.js";
import type { Fault } from "@pinwalk/host/plan/fault.js";
import type { Plan } from "@pinwalk/host/plan/plan-schema.js";

/** The committed firmware in this thread, with a vehicle, spoken to line by line. */
export class ToldBench {
  readonly bench: EmulatedBench;
  readonly adapter: Adapter;
  readonly vehicle: ReturnType<typeof simulatedVehicle>;
  /** Everything that the bench has said. */
  said = "";
  #tag = 0;

  constructor(plan: Plan, faults: readonly Fault[] = [], options: Partial<EmulatedBenchOptions> = {}) {
    this.adapter = adapterOf(plan);
    this.vehicle = simulatedVehicle(plan, faults, 20);
    this.bench = new EmulatedBench({
      imageHex: readFileSync(firmwareImagePath, "latin1"),
      side: this.vehicle.side,
      ...options,
    });
    this.pass(20);
  }

  channelOf(pin: string): number {
    const place = this.adapter.near.find((one) => one.pin === pin);
    if (place === undefined) throw new Error(`no pin ${pin}`);
    return place.channel;
  }

  /** Lets emulated time pass and collects what the bench says. */
  pass(milliseconds: number): void {
    this.bench.runForMs(milliseconds);
    this.said += Buffer.from(this.bench.takeSent()).toString("latin1");
  }

  /** Sends a request and runs until its reply or refusal has come; gives it without tag and checksum. */
  ask(text: string, mostMs = 1500): string {
    this.#tag = (this.#tag + 1) % 256;
    const tag = this.#tag.toString(16).toUpperCase().padStart(2, "0");
    this.bench.send(sealLine(`?${tag} ${text}`));
    const untilMs = this.bench.nowMs + mostMs;
    let heard = "";
    while (this.bench.nowMs < untilMs) {
      this.bench.runUntilLine(untilMs);
      heard += Buffer.from(this.bench.takeSent()).toString("latin1");
      const reply = heard.split("\n").find((line) => line.startsWith(`=${tag} `) || line.startsWith(`!${tag} `));
      if (reply === undefined) continue;
      this.said += heard;
      return `${reply[0]}${reply.slice(4).replace(/\*[0-9A-F]{4}$/, "")}`;
    }
    this.said += heard;
    throw new Error(`no answer to "${text}"; the bench said ${JSON.stringify(heard)}`);
  }

  /** Limits, roles and the relay closed. */
  arm(): string {
    const hex = (mask: number) => mask.toString(16).toUpperCase().padStart(4, "0");
    const { usedMask, senseOnlyMask, groundMask } = this.adapter;
    this.ask(`roles ${hex(usedMask)} ${hex(senseOnlyMask)} ${hex(groundMask)}`);
    return this.ask("arm");
  }

  /** Drives a pin until the drive ends, with signs of life, and gives how it ended. */
  drive(
    pin: string,
    mostMs = 4000,
  ): { readonly end: string; readonly amps: number; readonly peakAmps: number; readonly settleMs: number } {
    const [, , id] = this.ask(`drive ${this.channelOf(pin)} ${mostMs}`).split(/[= ]/);
    for (let waited = 0; waited < mostMs + 400; waited += 100) {
      if (this.said.includes(`~ended ${id} `)) break;
      this.ask("ping");
      this.pass(100);
    }
    const [, end = "", amps, peak, settle] = this.ask(`result ${id}`).split(" ").slice(1);
    return { end, amps: Number(amps) / 1000, peakAmps: Number(peak) / 1000, settleMs: Number(settle) };
  }

  /** Voltages of the newest measurement, by channel; undefined for one not measured. */
  volts(measurement: number, side: "near" | "far"): (number | undefined)[] {
    const fields = this.ask(`volts ${measurement} ${side}`).split(" ").slice(3);
    return fields.map((field) => (field === "-" ? undefined : Number(field) / 1000));
  }
}
