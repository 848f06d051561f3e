import type { WatchBlock, WatchGap } from "../../bench/watch-values.js";
import { PinStrip } from "./pin-strip.js";
import type { StripBatch, StripColumns, StripJob } from "./strip-contract.js";

/** Stretches over all pins: 35 minutes of one pin, and at most some hundred kilobytes for whoever joins late. */
const mostStretches = 16_384;

/** The strips of one run of a job, for whoever joins late, and what nobody has been sent yet. Its size is bounded. */
export class StripBook {
  readonly #job: StripJob;
  readonly #run: number;
  readonly #mostRough: number;
  readonly #pins = new Map<string, PinStrip>();
  #latest = "";

  /** `pins`: how many will be watched. */
  constructor(job: StripJob, run: number, pins: number) {
    this.#job = job;
    this.#run = run;
    this.#mostRough = Math.floor(mostStretches / Math.max(1, pins));
  }

  add(pin: string, block: WatchBlock, ohms?: number): void {
    this.#latest = pin;
    this.#strip(pin).add(block, ohms);
  }

  addGap(pin: string, gap: WatchGap): void {
    this.#strip(pin).addGap(gap);
  }

  /** What was sent so far: the pin under watch window by window, the others in stretches. */
  sent(): StripBatch {
    return this.#batch([...this.#pins].map(([pin, strip]) => [pin, strip.sent({ fine: pin === this.#latest })]));
  }

  /** What came since the last call; undefined if nothing did. */
  takeUnsent(): StripBatch | undefined {
    const news: [string, StripColumns][] = [];
    for (const [pin, strip] of this.#pins) {
      const columns = strip.takeUnsent();
      if (columns) news.push([pin, columns]);
    }
    return news.length === 0 ? undefined : this.#batch(news);
  }

  #strip(pin: string): PinStrip {
    const strip = this.#pins.get(pin) ?? new PinStrip(this.#mostRough);
    this.#pins.set(pin, strip);
    return strip;
  }

  #batch(pins: readonly (readonly [string, StripColumns])[]): StripBatch {
    return { job: this.#job, run: this.#run, pins: Object.fromEntries(pins) };
  }
}
