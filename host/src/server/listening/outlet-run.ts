import type { BenchPort } from "../../bench/port.js";
import { windowMs } from "../../bench/watch-values.js";
import { adapterOf } from "../../plan/adapter.js";
import type { Plan } from "../../plan/plan-schema.js";
import { OutletCheck } from "../../procedures/outlet-check/outlet-check.js";
import type { OutletCheckEvent } from "../../procedures/outlet-check/outlet-check-events.js";
import { brokenOffEnd } from "../bench-care/broken-off-end.js";
import { pinUse } from "../place-words.js";
import { StripBook } from "../strip/strip-book.js";
import type { StripBatch } from "../strip/strip-contract.js";
import { sendStrips } from "../strip/strip-sender.js";
import type { StopReason } from "../walk-fold.js";
import type { ListeningView, OutletPinView } from "./listening-contract.js";
import type { SourceRun } from "./source-run.js";

interface OutletRunOptions {
  readonly plan: Plan;
  readonly begun: ListeningView;
  readonly openPort: () => Promise<BenchPort>;
  readonly onView: () => void;
  readonly onStrip: (batch: StripBatch) => void;
}

/** Windows in a block of the bench, when the line is not crowded. */
const blockWindows = 16;

/** The check of a tow vehicle's outlet as the server sees it: the view that its events add up to. */
export class OutletRun implements SourceRun {
  readonly done: Promise<void>;
  readonly #options: OutletRunOptions;
  readonly #check: OutletCheck;
  readonly #book: StripBook;
  #view: ListeningView;
  #stopReason: StopReason | null = null;

  constructor(options: OutletRunOptions) {
    const { plan, begun, openPort } = options;
    this.#options = options;
    this.#view = begun;
    const { near, groundPins } = adapterOf(plan);
    this.#book = new StripBook("listening", begun.run, 2 * near.length);
    this.#check = new OutletCheck({
      port: openPort,
      pins: near.filter(({ pin }) => !groundPins.includes(pin)),
      thresholds: { mostDropVolts: begun.settings.mostDropVolts },
    });
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

  said(): void {}

  answer(answer: "finish" | "ready" | "skip"): void {
    if (this.#view.stepWords === null) return;
    if (answer === "skip") this.#check.skip();
    else this.#check.ready();
  }

  stop(reason: StopReason): void {
    if (this.#view.state !== "running") return;
    this.#stopReason = reason;
    this.#check.cancel();
    this.#change({ ...this.#view, state: "stopping" });
  }

  async #follow(): Promise<void> {
    const stopSending = sendStrips(this.#book, this.#options.onStrip);
    try {
      for await (const event of this.#check) {
        if (event.kind === "level") this.#addLevel(event);
        else this.#change(this.#after(event));
      }
    } finally {
      stopSending();
    }
  }

  /** What is told of a whole block stands for each of its windows. */
  #addLevel({ pin, atMs, least, mean, greatest }: Extract<OutletCheckEvent, { kind: "level" }>): void {
    const loaded = this.#view.step === "with-loads";
    const windows = Array.from({ length: blockWindows }, () => ({ least, mean, greatest, edges: 0 }));
    const first = Math.max(0, Math.round(atMs / windowMs) - blockWindows);
    this.#book.add(outletStrip(pin, loaded), { first, windows, amps: 0, nearVolts: mean });
  }

  #after(event: Exclude<OutletCheckEvent, { kind: "level" }>): ListeningView {
    const view = this.#view;
    switch (event.kind) {
      case "connecting":
        return { ...view, step: "connecting" };
      case "step":
        return { ...view, step: event.step, stepWords: event.words, pin: null };
      case "pin":
        return { ...withPin(view, event.pin, { now: true }), stepWords: null, pin: event.pin };
      case "measured": {
        const { pin, loads, volts = null } = event;
        return withPin(view, pin, { now: false, ...(loads ? { loadedVolts: volts } : { openVolts: volts }) });
      }
      case "ended": {
        const ended = { ...view, state: "ended", step: null, stepWords: null, pin: null } as const;
        const { outcome } = event;
        if (outcome.kind !== "compared")
          return { ...ended, end: brokenOffEnd("The check of the outlet", outcome, this.#stopReason) };
        const judged = outcome.pins.reduce(
          (next, { pin, ohms = null, verdict, words }) => withPin(next, pin, { ohms, verdict, words }),
          ended as ListeningView,
        );
        return { ...judged, end: { kind: "compared", overall: outcome.overall } };
      }
    }
  }

  #change(view: ListeningView): void {
    if (view === this.#view) return;
    this.#view = view;
    this.#options.onView();
  }
}

function withPin(view: ListeningView, pin: string, more: Partial<OutletPinView>): ListeningView {
  return {
    ...view,
    outlet: view.outlet.map((row) => (row.pin === pin ? { ...row, ...more } : { ...row, now: false })),
  };
}

/** Name of the strip of a pin: without and with its far load are two. */
function outletStrip(pin: string, loaded: boolean): string {
  return loaded ? `${pin} loaded` : pin;
}

/** Before anything was measured. */
export function outletPins(plan: Plan): readonly OutletPinView[] {
  const { near, groundPins } = adapterOf(plan);
  return near
    .filter(({ pin }) => !groundPins.includes(pin))
    .map(({ pin }) => ({
      pin,
      functionText: pinUse(plan, pin) ?? "",
      now: false,
      openVolts: null,
      loadedVolts: null,
      ohms: null,
      verdict: null,
      words: null,
      openStrip: outletStrip(pin, false),
      loadedStrip: outletStrip(pin, true),
    }));
}
