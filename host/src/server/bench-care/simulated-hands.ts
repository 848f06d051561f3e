import type { BenchFixture } from "../../bench/virtual/vehicle/bench-fixture.js";
import type { VirtualBench } from "../../bench/virtual/virtual-bench.js";
import type { SimulatedView } from "./bench-care-contract.js";

/** What a step asks a person to do, as it is done on the virtual bench. */
export interface HandWork {
  readonly fixture: BenchFixture;
  readonly pluggedIn: string;
  readonly supplyVolts: number;
  /** Where the meter goes; null for a step without one. */
  readonly meter: "supply" | "plug" | null;
  /** The words of the button. */
  readonly offer: string;
}

/** What the virtual bench is opened with. */
export const usualSupplyVolts = 12.8;

/** The bench looks at its supply four times a second; without a change of that, its converter needs some time alone. */
const supplySettleMs = 500;
const settleMs = 50;
/** A bench meter in the 20 V range shows millivolts. */
const meterStepVolts = 0.001;

/** A pair of hands and a meter at the virtual bench. Nothing is plugged in at first. */
export class SimulatedHands {
  readonly #bench: VirtualBench;
  #pluggedIn = "nothing";
  #supplyVolts = usualSupplyVolts;
  #meterVolts: number | null = null;
  #wanted: HandWork | null = null;
  #done = false;

  constructor(bench: VirtualBench) {
    this.#bench = bench;
  }

  get view(): SimulatedView {
    return {
      offer: this.#done ? null : (this.#wanted?.offer ?? null),
      pluggedIn: this.#pluggedIn,
      meterVolts: this.#meterVolts,
    };
  }

  /** A step is waiting, or none is. */
  want(work: HandWork | null): void {
    this.#wanted = work;
    // Where nothing is to be read, it may be so already.
    this.#done = work?.meter === null && work.pluggedIn === this.#pluggedIn && work.supplyVolts === this.#supplyVolts;
    this.#meterVolts = null;
  }

  /** Does what the present step asks for. False where none does. */
  async obey(): Promise<boolean> {
    const work = this.#wanted;
    if (!work) return false;
    await this.#bench.setSupply(work.supplyVolts);
    await this.#bench.plugIn(work.fixture);
    const waitMs = work.supplyVolts === this.#supplyVolts ? settleMs : supplySettleMs;
    await new Promise<void>((resolve) => this.#bench.clock.after(waitMs, resolve));
    const look = await this.#bench.look();
    this.#pluggedIn = work.pluggedIn;
    this.#supplyVolts = work.supplyVolts;
    // Meanwhile the step may have been answered.
    if (this.#wanted !== work) return true;
    const volts = work.meter === "supply" ? look.supplyVolts : work.meter === "plug" ? look.plugVolts : undefined;
    this.#meterVolts = volts === undefined ? null : Math.round(volts / meterStepVolts) * meterStepVolts;
    this.#done = true;
    return true;
  }
}
