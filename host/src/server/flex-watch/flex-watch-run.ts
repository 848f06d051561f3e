import type { BenchPort } from "../../bench/port.js";
import type { VirtualBench } from "../../bench/virtual/virtual-bench.js";
import type { CablePlan } from "../../plan/plan-schema.js";
import { FlexWatch } from "../../procedures/flex-watch/flex-watch.js";
import type { FlexEvent } from "../../procedures/flex-watch/flex-watch-events.js";
import type { BenchView } from "../contract.js";
import { simulatedVehicleOf } from "../simulated-vehicle-of.js";
import { StripBook } from "../strip/strip-book.js";
import type { StripBatch } from "../strip/strip-contract.js";
import { sendStrips } from "../strip/strip-sender.js";
import type { StopReason } from "../walk-fold.js";
import type { FlexSettings, FlexWatchView, Wiggle } from "./flex-watch-contract.js";
import { foldFlexEvent } from "./flex-watch-fold.js";
import { type FlexResult, flexResult } from "./flex-watch-result.js";
import { wiggleOf } from "./wiggle.js";

interface FlexRunOptions {
  readonly plan: CablePlan;
  readonly settings: FlexSettings;
  readonly bench: BenchView;
  /** What stands on the page when it begins. */
  readonly begun: FlexWatchView;
  readonly openPort: () => Promise<BenchPort | VirtualBench>;
  readonly onView: () => void;
  readonly onStrip: (batch: StripBatch) => void;
}

/** A contact that chatters would have the whole view told hundreds of times a second. */
const tellEveryMs = 100;

/** A flex watch as the server sees it: the view that its events add up to, its strips, and its result. */
export class FlexWatchRun {
  /** Settles when it has ended and everything is off. */
  readonly done: Promise<void>;
  readonly #options: FlexRunOptions;
  readonly #watch: FlexWatch;
  readonly #book: StripBook;
  #view: FlexWatchView;
  #cable: VirtualBench | undefined;
  #stopReason: StopReason | null = null;
  #result: FlexResult | undefined;
  #untold = false;

  constructor(options: FlexRunOptions) {
    const { plan, settings, begun, bench, openPort } = options;
    const { pins, seconds, thresholds } = settings;
    this.#options = options;
    this.#view = begun;
    this.#book = new StripBook("flexWatch", begun.run, begun.conductors.length);
    this.#watch = new FlexWatch({
      plan,
      port: () => this.#open(bench, openPort),
      forMs: seconds * 1000,
      thresholds,
      ...(pins.length === 0 ? {} : { pins }),
    });
    this.done = this.#follow();
  }

  get view(): FlexWatchView {
    return this.#view;
  }

  get going(): boolean {
    return this.#view.state !== "ended";
  }

  get result(): FlexResult | undefined {
    return this.#result;
  }

  strips(): StripBatch {
    return this.#book.sent();
  }

  next(): void {
    this.#watch.next();
  }

  /** Moves the simulated cable. False where there is none, or nothing is under watch. */
  async wiggle(how: Wiggle): Promise<boolean> {
    const pin = this.#view.now?.pin;
    if (!this.#cable || pin === undefined) return false;
    const { fault, spells } = wiggleOf(how, pin);
    await this.#cable.moveLooseContact(fault, spells);
    return true;
  }

  stop(reason: StopReason): void {
    if (this.#view.state !== "running") return;
    this.#stopReason = reason;
    this.#watch.cancel();
    this.#change({ ...this.#view, state: "stopping" });
    this.#tell();
  }

  async #open(bench: BenchView, openPort: FlexRunOptions["openPort"]): Promise<BenchPort> {
    const port = await openPort();
    this.#cable = simulatedVehicleOf(bench, port);
    return port;
  }

  async #follow(): Promise<void> {
    const stopSending = sendStrips(this.#book, this.#options.onStrip);
    const timer = setInterval(() => this.#tell(), tellEveryMs);
    try {
      for await (const event of this.#watch) this.#take(event);
    } finally {
      clearInterval(timer);
      stopSending();
      this.#tell();
    }
  }

  #take(event: FlexEvent): void {
    if (event.kind === "strip") this.#book.add(event.pin, event.block, event.point.smoothOhms);
    if (event.kind === "gap") this.#book.addGap(event.pin, event.gap);
    if (event.kind === "ended") {
      this.#cable = undefined;
      if (event.outcome.kind === "watched") this.#result = flexResult(this.#options, event.outcome);
    }
    const view = foldFlexEvent(this.#view, event, this.#stopReason);
    const simulated = this.#cable !== undefined && view.now !== null;
    this.#change({ ...view, simulated, hasResult: this.#result !== undefined });
    if (event.kind === "conductor") this.#tell();
  }

  #change(view: FlexWatchView): void {
    this.#view = view;
    this.#untold = true;
  }

  #tell(): void {
    if (!this.#untold) return;
    this.#untold = false;
    this.#options.onView();
  }
}
