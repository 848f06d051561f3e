import { cyclesOfMs } from "../chip/atmega328p.js";
import { BOARD } from "./board-values.js";
import type { Timeline } from "./timeline.js";

/** Comparator on the inrush amplifier with a latch: above the limit everything goes off until the latch is cleared. */
export class FastLimit {
  readonly #timeline: Timeline;
  readonly #changed: () => void;
  #amps = 0;
  #tripped = false;
  #clearing = false;
  #cancelTrip: (() => void) | undefined;

  /** `changed` is called when the latch has tripped or was cleared. */
  constructor(timeline: Timeline, changed: () => void) {
    this.#timeline = timeline;
    this.#changed = changed;
  }

  get tripped(): boolean {
    return this.#tripped;
  }

  /** Follows the current in the shunt. */
  amps(amps: number, atCycles: number): void {
    this.#amps = amps;
    if (amps <= BOARD.fastLimitAmps || this.#clearing) {
      this.#cancelTrip?.();
      this.#cancelTrip = undefined;
    } else if (!this.#tripped && this.#cancelTrip === undefined) {
      this.#cancelTrip = this.#timeline.at(atCycles + cyclesOfMs(BOARD.fastLimitMicroseconds / 1000), () => {
        this.#cancelTrip = undefined;
        this.#tripped = true;
        this.#changed();
      });
    }
  }

  /** Follows the controller's clear line; while it is active the latch cannot trip. */
  clearLine(active: boolean, atCycles: number): void {
    this.#clearing = active;
    if (active && this.#tripped) {
      this.#tripped = false;
      this.#changed();
    }
    this.amps(this.#amps, atCycles);
  }
}
