import type { BenchPort } from "../../bench/port.js";
import type { VirtualBench } from "../../bench/virtual/virtual-bench.js";
import type { BenchView } from "../contract.js";
import { simulatedVehicleOf } from "../simulated-vehicle-of.js";
import type { StopReason } from "../walk-fold.js";
import type { SimulatedView } from "./bench-care-contract.js";
import { type HandWork, SimulatedHands } from "./simulated-hands.js";

export interface HandsOptions {
  readonly bench: BenchView;
  readonly openPort: () => Promise<BenchPort | VirtualBench>;
  readonly onView: () => void;
}

/** Whose hands plug in and out while a bench is looked after: simulated ones at the virtual bench, a person's at a real one. */
export class HandsAtBench {
  readonly #options: HandsOptions;
  #simulated: SimulatedHands | undefined;

  constructor(options: HandsOptions) {
    this.#options = options;
  }

  /** Null where the hands are a person's own. */
  get view(): SimulatedView | null {
    return this.#simulated?.view ?? null;
  }

  async open(): Promise<BenchPort> {
    const port = await this.#options.openPort();
    const virtual = simulatedVehicleOf(this.#options.bench, port);
    if (virtual) this.#simulated = new SimulatedHands(virtual);
    return port;
  }

  /** A step is waiting, or none is. */
  want(work: HandWork | null): void {
    this.#simulated?.want(work);
  }

  /** False where nothing is waiting for simulated hands. */
  async obey(): Promise<boolean> {
    const obeyed = (await this.#simulated?.obey()) ?? false;
    if (obeyed) this.#options.onView();
    return obeyed;
  }
}

/** While a step waits for a person nothing is on, so that whoever was lost may come back to it. */
export function mayWaitThrough(reason: StopReason, stepWaits: boolean): boolean {
  return stepWaits && (reason === "nobody-left" || reason === "controller-lost");
}
