import { cyclesOfMs } from "../chip/atmega328p.js";
import { BOARD } from "./board-values.js";
import type { Timeline } from "./timeline.js";

/** The normally-open relay in the supply: closes a while after its coil gets current, opens at once when it loses it. */
export class MainRelay {
  readonly #timeline: Timeline;
  readonly #moved: () => void;
  #closed = false;
  #cancelClosing: (() => void) | undefined;

  /** `moved` is called when the contact has closed or opened. */
  constructor(timeline: Timeline, moved: () => void) {
    this.#timeline = timeline;
    this.#moved = moved;
  }

  get closed(): boolean {
    return this.#closed;
  }

  coil(energised: boolean, atCycles: number): void {
    if (!energised) {
      this.#cancelClosing?.();
      this.#cancelClosing = undefined;
      if (this.#closed) {
        this.#closed = false;
        this.#moved();
      }
    } else if (!this.#closed && this.#cancelClosing === undefined) {
      this.#cancelClosing = this.#timeline.at(atCycles + cyclesOfMs(BOARD.relayClosingMs), () => {
        this.#cancelClosing = undefined;
        this.#closed = true;
        this.#moved();
      });
    }
  }
}
