import type { BenchPort } from "../../bench/port.js";
import type { VirtualBench } from "../../bench/virtual/virtual-bench.js";
import { adapterOf } from "../../plan/adapter.js";
import type { Plan } from "../../plan/plan-schema.js";
import type { BenchView, CommandPayload } from "../contract.js";
import { simulatedVehicleOf } from "../simulated-vehicle-of.js";
import type { ListeningUse, SimulatedSource } from "./listening-contract.js";
import { playedOnOutlet, playedOnWire, simulatedWires, vehicleSwitches } from "./simulated-wires.js";

export type Wanted = CommandPayload<"listening:simulate">;

const nothing: Wanted = { wireId: simulatedWires[0]?.id ?? "", on: [], farLoads: false, poorPin: null };

/** What a probe or a plug meets on the virtual bench: a tow vehicle whose switches a person works from the page. */
export class SimulatedVehicleSource {
  readonly #plan: Plan;
  readonly #use: ListeningUse;
  readonly #pin: string;
  #bench: VirtualBench | undefined;
  #wanted: Wanted;

  /** `before` is how it was left the last time. */
  constructor(plan: Plan, use: ListeningUse, pin: string, before: Wanted | undefined) {
    this.#plan = plan;
    this.#use = use;
    this.#pin = pin;
    this.#wanted = { ...nothing, wireId: before?.wireId ?? nothing.wireId };
  }

  get wanted(): Wanted {
    return this.#wanted;
  }

  /** Undefined on a real bench. */
  get view(): SimulatedSource | null {
    if (!this.#bench) return null;
    const { wireId, on, farLoads, poorPin } = this.#wanted;
    const { near, groundPins } = adapterOf(this.#plan);
    return {
      wires: simulatedWires.map(({ id, text }) => ({ id, text })),
      wireId,
      functions: vehicleSwitches.map(({ name }) => ({ name, text: name, on: on.includes(name) })),
      farLoads,
      poorPin,
      pins: near.map(({ pin }) => pin).filter((pin) => !groundPins.includes(pin)),
    };
  }

  /** Plugs it in where the bench is a virtual one. */
  async plugIn(bench: BenchView, port: BenchPort | VirtualBench): Promise<void> {
    this.#bench = simulatedVehicleOf(bench, port);
    await this.#play();
  }

  unplug(): void {
    this.#bench = undefined;
  }

  /** False where nothing is simulated now. */
  async play(wanted: Wanted): Promise<boolean> {
    if (!this.#bench) return false;
    this.#wanted = wanted;
    await this.#play();
    return true;
  }

  async #play(): Promise<void> {
    const { wireId, on, farLoads, poorPin } = this.#wanted;
    const pins = this.#use === "wire" ? playedOnWire(wireId, on, this.#pin) : playedOnOutlet(this.#plan, on, poorPin);
    await this.#bench?.plugOutlet({ pins, farLoads: this.#use === "outlet" && farLoads });
  }
}
