import type { BenchPort } from "../../bench/port.js";
import { portWith } from "../../bench/port-with.js";
import { type FrontEndErrors, seededFrontEndErrors } from "../../bench/virtual/board/front-end-errors.js";
import type { VirtualBench } from "../../bench/virtual/virtual-bench.js";

interface BoardOptions {
  readonly eeprom?: Uint8Array;
  readonly frontEndErrors?: FrontEndErrors;
}

/**
 * What stays of the virtual bench between two openings: its parts, and what was written into its memory. As with a real one, a
 * calibration that was stored is in force the next time.
 */
export class VirtualBoard {
  #memory: Uint8Array | undefined;
  #errors: FrontEndErrors | undefined;

  get isScattered(): boolean {
    return this.#errors !== undefined;
  }

  /** Another board: one whose parts scatter as bought ones do, or one that is just as designed. Its memory is empty. */
  replace(seed: number | null): void {
    this.#errors = seed === null ? undefined : seededFrontEndErrors(seed);
    this.#memory = undefined;
  }

  async open(opener: (options: BoardOptions) => Promise<VirtualBench>): Promise<VirtualBench> {
    const bench = await opener({
      ...(this.#memory === undefined ? {} : { eeprom: this.#memory }),
      ...(this.#errors === undefined ? {} : { frontEndErrors: this.#errors }),
    });
    return portWith<BenchPort>(bench, {
      close: async () => {
        // One that has ended by itself has no memory to give.
        this.#memory = await bench.eeprom().catch(() => this.#memory);
        await bench.close();
      },
    }) as VirtualBench;
  }
}
