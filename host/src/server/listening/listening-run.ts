import type { BenchPort } from "../../bench/port.js";
import type { VirtualBench } from "../../bench/virtual/virtual-bench.js";
import { Listening } from "../../procedures/listening/listening.js";
import type { ListeningEvent } from "../../procedures/listening/listening-events.js";
import { brokenOffEnd } from "../bench-care/broken-off-end.js";
import { StripBook } from "../strip/strip-book.js";
import type { StripBatch } from "../strip/strip-contract.js";
import { sendStrips } from "../strip/strip-sender.js";
import type { StopReason } from "../walk-fold.js";
import { heardView } from "./heard-view.js";
import type { FindingView, HeardView, ListeningView } from "./listening-contract.js";
import type { SourceRun } from "./source-run.js";

interface ListeningRunOptions {
  /** Channel of the bench, 0 to 12. */
  readonly channel: number;
  readonly begun: ListeningView & { readonly pin: string };
  readonly openPort: () => Promise<BenchPort | VirtualBench>;
  readonly onView: () => void;
  readonly onStrip: (batch: StripBatch) => void;
  /** What was heard goes on the finding sheet, and comes back as a line of it. */
  readonly onHeard: (heard: HeardView) => FindingView;
}

/** Listening to one wire as the server sees it: the view that its events add up to, and its strip. */
export class ListeningRun implements SourceRun {
  readonly done: Promise<void>;
  readonly #options: ListeningRunOptions;
  readonly #listening: Listening;
  readonly #book: StripBook;
  #view: ListeningView;
  #stopReason: StopReason | null = null;

  constructor(options: ListeningRunOptions) {
    const { channel, begun, openPort } = options;
    this.#options = options;
    this.#view = begun;
    this.#book = new StripBook("listening", begun.run, 1);
    this.#listening = new Listening({ port: openPort, channel });
    this.done = this.#follow();
  }

  get view(): ListeningView {
    return this.#view;
  }

  get going(): boolean {
    return this.#view.state !== "ended";
  }

  strips(): StripBatch {
    return this.#book.sent();
  }

  said(name: string, on: boolean): void {
    this.#listening.said(name, on);
    const known = this.#view.said.some((row) => row.name === name);
    const said = known ? this.#view.said : [...this.#view.said, { name, text: name, on }];
    this.#change({ ...this.#view, said: said.map((row) => (row.name === name ? { ...row, on } : row)) });
  }

  answer(): void {
    this.#listening.finish();
  }

  stop(reason: StopReason): void {
    if (this.#view.state !== "running") return;
    this.#stopReason = reason;
    this.#listening.cancel();
    this.#change({ ...this.#view, state: "stopping" });
  }

  async #follow(): Promise<void> {
    const stopSending = sendStrips(this.#book, this.#options.onStrip);
    try {
      for await (const event of this.#listening) this.#take(event);
    } finally {
      stopSending();
    }
  }

  #take(event: ListeningEvent): void {
    if (event.kind === "level") this.#book.add(this.#options.begun.pin, event.block);
    else this.#change(this.#after(event));
  }

  #after(event: Exclude<ListeningEvent, { kind: "level" }>): ListeningView {
    const view = this.#view;
    switch (event.kind) {
      case "connecting":
        return { ...view, step: "connecting" };
      case "listening":
        return { ...view, step: "listening" };
      case "heard":
        return { ...view, now: heardView(event) };
      case "ended": {
        const ended = { ...view, state: "ended", step: null } as const;
        const { outcome } = event;
        if (outcome.kind !== "heard") return { ...ended, end: brokenOffEnd("Listening", outcome, this.#stopReason) };
        const now = heardView(outcome);
        return { ...ended, now, end: { kind: "heard", finding: this.#options.onHeard(now) } };
      }
    }
  }

  #change(view: ListeningView): void {
    this.#view = view;
    this.#options.onView();
  }
}
