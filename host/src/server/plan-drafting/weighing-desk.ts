import { Worker } from "node:worker_threads";
import type { WeighedDraft } from "./drafting-contract.js";

/** How a draft could not be weighed. */
export type NotWeighed = "crowded" | "too-long" | "gone";

interface Waiting {
  readonly draft: unknown;
  readonly wanted: () => boolean;
  readonly settle: (weighed: WeighedDraft | NotWeighed) => void;
}

/** More browsers than ever draft at once on one bench. */
const mostWaiting = 16;

/** Weighs one draft after another in a thread of its own; one that takes too long is given up together with its thread. */
export class WeighingDesk {
  readonly #mostMs: number;
  #worker: Worker | null = null;
  #waiting: Waiting[] = [];
  #now: Waiting | null = null;
  #closed = false;

  /** `mostMs`: what a draft may take. The largest sample takes a quarter of a second. */
  constructor(mostMs = 10_000) {
    this.#mostMs = mostMs;
  }

  /** `wanted` is asked before the work begins: whoever has typed on since does not want the answer any more. */
  weigh(draft: unknown, wanted: () => boolean): Promise<WeighedDraft | NotWeighed> {
    if (this.#closed) return Promise.resolve("gone");
    if (this.#waiting.length >= mostWaiting) return Promise.resolve("crowded");
    return new Promise((settle) => {
      this.#waiting.push({ draft, wanted, settle });
      this.#next();
    });
  }

  async close(): Promise<void> {
    this.#closed = true;
    for (const { settle } of this.#waiting.splice(0)) settle("gone");
    this.#now?.settle("gone");
    await this.#worker?.terminate();
  }

  #next(): void {
    if (this.#now || this.#closed) return;
    const next = this.#waiting.shift();
    if (!next) return;
    if (!next.wanted()) {
      next.settle("gone");
      this.#next();
      return;
    }
    this.#now = next;
    const worker = this.#worker ?? this.#employ();
    const limit = setTimeout(() => this.#dismiss(worker, "too-long"), this.#mostMs);
    this.#now = {
      ...next,
      settle: (weighed) => {
        clearTimeout(limit);
        next.settle(weighed);
      },
    };
    worker.postMessage(next.draft);
  }

  #employ(): Worker {
    const worker = new Worker(new URL("./weigh-worker.js", import.meta.url));
    // It alone keeps no program alive.
    worker.unref();
    worker.on("message", (weighed: WeighedDraft) => this.#done(weighed));
    worker.on("error", () => this.#dismiss(worker, "too-long"));
    this.#worker = worker;
    return worker;
  }

  #dismiss(worker: Worker, why: NotWeighed): void {
    if (worker !== this.#worker) return;
    this.#worker = null;
    void worker.terminate();
    this.#done(why);
  }

  #done(weighed: WeighedDraft | NotWeighed): void {
    const { settle } = this.#now ?? {};
    this.#now = null;
    settle?.(weighed);
    this.#next();
  }
}
