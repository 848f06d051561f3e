import { type NotDone, WorkThread } from "../work-thread.js";
import type { WeighedDraft } from "./drafting-contract.js";

/** How a draft could not be weighed. */
export type NotWeighed = Exclude<NotDone, "broken">;

/** More browsers than ever draft at once on one bench. */
const mostWaiting = 16;

/** Weighs one draft after another in a thread of its own; one that takes too long is given up together with its thread. */
export class WeighingDesk {
  readonly #thread: WorkThread<unknown, WeighedDraft>;

  /** `mostMs`: what a draft may take. The largest sample takes a quarter of a second. */
  constructor(mostMs = 10_000) {
    this.#thread = new WorkThread({ script: new URL("./weigh-worker.js", import.meta.url), mostMs, mostWaiting });
  }

  /** `wanted` is asked before the work begins: whoever has typed on since does not want the answer any more. */
  async weigh(draft: unknown, wanted: () => boolean): Promise<WeighedDraft | NotWeighed> {
    const weighed = await this.#thread.ask(draft, { wanted });
    // What breaks a thread down is a draft beyond its memory.
    return weighed === "broken" ? "too-long" : weighed;
  }

  close(): Promise<void> {
    return this.#thread.close();
  }
}
