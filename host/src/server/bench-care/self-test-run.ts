import type { BenchPort } from "../../bench/port.js";
import type { VirtualBench } from "../../bench/virtual/virtual-bench.js";
import {
  SelfTest,
  type SelfTestEvent,
  type SelfTestOutcome,
  type SelfTestStep,
} from "../../procedures/self-test/self-test.js";
import type { BenchView } from "../contract.js";
import type { StopReason } from "../walk-fold.js";
import type { SelfTestView } from "./bench-care-contract.js";
import { brokenOffEnd } from "./broken-off-end.js";
import { HandsAtBench, mayWaitThrough } from "./hands-at-bench.js";
import { type HandWork, usualSupplyVolts as supplyVolts } from "./simulated-hands.js";

export interface SelfTestRunOptions {
  readonly bench: BenchView;
  readonly openPort: () => Promise<BenchPort | VirtualBench>;
  /** Drive channels that the near connector has pins for; all if absent. */
  readonly wired?: readonly number[];
  readonly onView: () => void;
  /** Keeps what was found; gives the id of the document. */
  readonly onTested: (outcome: SelfTestOutcome & { readonly kind: "tested" }) => Promise<string>;
}

/** Before the first self-test. */
export const noSelfTest: SelfTestView = {
  state: "idle",
  hindrance: null,
  benchName: "",
  simulated: null,
  end: null,
  step: 0,
  asks: null,
  doing: null,
  items: [],
};

const handWork: Readonly<Record<SelfTestStep, HandWork>> = {
  "nothing-plugged-in": {
    fixture: { kind: "nothing" },
    pluggedIn: "nothing",
    supplyVolts,
    meter: null,
    offer: "Unplug everything from the virtual bench",
  },
  "far-loads": {
    fixture: { kind: "far-loads" },
    pluggedIn: "the far socket with its 47\u00a0Ω loads",
    supplyVolts,
    meter: null,
    offer: "Plug the far loads into the virtual bench",
  },
};

const doingAfter: Readonly<Record<SelfTestStep, string>> = {
  "nothing-plugged-in": "Feeding each pin with a few milliamps",
  "far-loads": "Driving each channel into its load",
};

/** A self-test as the server sees it: the view that its events add up to. */
export class SelfTestRun {
  /** Settles when it has ended and everything is off. */
  readonly done: Promise<void>;
  readonly #hands: HandsAtBench;
  readonly #options: SelfTestRunOptions;
  readonly #test: SelfTest;
  #view: SelfTestView;
  #steps = 0;
  #stopReason: StopReason | null = null;

  constructor(options: SelfTestRunOptions) {
    this.#options = options;
    this.#hands = new HandsAtBench(options);
    this.#view = { ...noSelfTest, state: "running", benchName: options.bench.name, doing: "Asking the bench" };
    this.#test = new SelfTest({
      port: () => this.#hands.open(),
      ...(options.wired === undefined ? {} : { wired: options.wired }),
    });
    this.done = this.#follow();
  }

  get view(): SelfTestView {
    return { ...this.#view, simulated: this.going ? this.#hands.view : null };
  }

  get going(): boolean {
    return this.#view.state !== "ended";
  }

  /** False where that step is not waiting. */
  answer(step: number, isReady: boolean): boolean {
    const { asks } = this.#view;
    if (this.#view.step !== step || asks === null) return false;
    this.#hands.want(null);
    this.#change({ step: 0, asks: null, doing: isReady ? doingAfter[asks] : null });
    if (isReady) this.#test.ready();
    else this.#test.skip();
    return true;
  }

  simulate(): Promise<boolean> {
    return this.#hands.obey();
  }

  stop(reason: StopReason): void {
    if (this.#view.state !== "running") return;
    if (mayWaitThrough(reason, this.#view.asks !== null)) return;
    this.#stopReason = reason;
    this.#test.cancel();
    this.#change({ state: "stopping" });
  }

  async #follow(): Promise<void> {
    for await (const event of this.#test) await this.#hear(event);
  }

  async #hear(event: SelfTestEvent): Promise<void> {
    switch (event.kind) {
      case "connecting":
        return;
      case "item":
        this.#change({ items: [...this.#view.items, event.item] });
        return;
      case "step":
        this.#steps += 1;
        this.#hands.want(handWork[event.step]);
        this.#change({ step: this.#steps, asks: event.step, doing: null });
        return;
      case "ended":
        this.#change({
          state: "ended",
          step: 0,
          asks: null,
          doing: null,
          end:
            event.outcome.kind === "tested"
              ? {
                  kind: "done",
                  overall: event.outcome.overall,
                  documentId: await this.#options.onTested(event.outcome),
                }
              : brokenOffEnd("The self-test", event.outcome, this.#stopReason),
        });
    }
  }

  #change(change: Partial<SelfTestView>): void {
    this.#view = { ...this.#view, ...change };
    this.#options.onView();
  }
}
