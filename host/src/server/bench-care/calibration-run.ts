import type { BenchPort } from "../../bench/port.js";
import type { VirtualBench } from "../../bench/virtual/virtual-bench.js";
import { Calibrating, type CalibratingEvent } from "../../procedures/calibration/calibrating.js";
import type { CalibrationDocument } from "../../procedures/calibration/calibration-document.js";
import type { KnownResistor } from "../../procedures/calibration/calibration-steps.js";
import type { BenchView } from "../contract.js";
import type { StopReason } from "../walk-fold.js";
import type { CalibrationStart, CalibrationView } from "./bench-care-contract.js";
import { brokenOffEnd } from "./broken-off-end.js";
import { calibrationHandWork, foundRows, stepCautions, stepNames } from "./calibration-words.js";
import { HandsAtBench, mayWaitThrough } from "./hands-at-bench.js";

export interface CalibrationRunOptions {
  readonly bench: BenchView;
  readonly start: CalibrationStart;
  readonly openPort: () => Promise<BenchPort | VirtualBench>;
  readonly onView: () => void;
  /** Keeps what was found and written; gives the id of the document. */
  readonly onCalibrated: (document: CalibrationDocument) => Promise<string>;
}

/** Before the first calibration. */
export const noCalibration: CalibrationView = {
  state: "idle",
  hindrance: null,
  benchName: "",
  simulated: null,
  end: null,
  step: 0,
  steps: 0,
  asks: null,
  caution: null,
  answered: [],
  found: [],
};

/** A limit is the half-width of a rectangle (JCGM 100:2008, 4.3.7). */
const standard = (halfWidth: number): number => halfWidth / Math.sqrt(3);

function known({ ohms, percent }: CalibrationStart["lowResistor"]): KnownResistor {
  return { value: ohms, u: standard((ohms * percent) / 100) };
}

/** A calibration as the server sees it: the view that its events add up to. Nothing is written before its last step is answered. */
export class CalibrationRun {
  /** Settles when it has ended and everything is off. */
  readonly done: Promise<void>;
  readonly #hands: HandsAtBench;
  readonly #options: CalibrationRunOptions;
  readonly #calibrating: Calibrating;
  readonly #resistors: readonly KnownResistor[];
  readonly #lowResistor: KnownResistor;
  #view: CalibrationView;
  #stopReason: StopReason | null = null;

  constructor(options: CalibrationRunOptions) {
    const { meter, resistors, lowResistor, serial } = options.start;
    this.#options = options;
    this.#hands = new HandsAtBench(options);
    this.#resistors = resistors.map(known);
    this.#lowResistor = known(lowResistor);
    this.#view = { ...noCalibration, state: "running", benchName: options.bench.name };
    this.#calibrating = new Calibrating({
      port: () => this.#hands.open(),
      meter: { relative: standard(meter.percent / 100), offset: standard(meter.volts) },
      resistors: this.#resistors,
      lowResistor: this.#lowResistor,
      ...(serial === undefined ? {} : { serial }),
    });
    this.done = this.#follow();
  }

  get view(): CalibrationView {
    return { ...this.#view, simulated: this.going ? this.#hands.view : null };
  }

  get going(): boolean {
    return this.#view.state !== "ended";
  }

  /** Null where the answer was taken; else why not. */
  answer(step: number, volts: number | null): string | null {
    const { asks } = this.#view;
    if (this.#view.step !== step || asks === null) return "That step is not waiting for an answer any more.";
    if (volts === null && !asks.optional) return "This step cannot be left out. Stop the calibration instead.";
    if (volts !== null && asks.wants === "volts" && volts === 0) return "Give the meter's volts, like 12.74.";
    const answer = volts === null ? "left out" : asks.wants === "volts" ? `${volts.toFixed(3)}\u00a0V` : "done";
    const words = `${stepNames[asks.id]}${asks.index > 0 ? `, once more` : ""}`;
    this.#hands.want(null);
    this.#change({
      step: 0,
      asks: null,
      caution: null,
      answered: [...this.#view.answered, { step, words, answer }],
    });
    if (volts === null) this.#calibrating.skip();
    else this.#calibrating.answer(volts);
    return null;
  }

  simulate(): Promise<boolean> {
    return this.#hands.obey();
  }

  stop(reason: StopReason): void {
    if (this.#view.state !== "running") return;
    if (mayWaitThrough(reason, this.#view.asks !== null)) return;
    this.#stopReason = reason;
    this.#calibrating.cancel();
    this.#change({ state: "stopping" });
  }

  async #follow(): Promise<void> {
    for await (const event of this.#calibrating) await this.#hear(event);
  }

  async #hear(event: CalibratingEvent): Promise<void> {
    switch (event.kind) {
      case "connecting":
        return;
      case "found":
        this.#change({ found: foundRows(event) });
        return;
      case "step":
        this.#hands.want(calibrationHandWork(event.step, this.#resistors, this.#lowResistor));
        this.#change({ step: event.number, steps: event.of, asks: event.step, caution: stepCautions[event.step.id] });
        return;
      case "ended":
        this.#change({
          state: "ended",
          step: 0,
          asks: null,
          caution: null,
          end:
            event.outcome.kind === "calibrated"
              ? { kind: "done", overall: "pass", documentId: await this.#options.onCalibrated(event.outcome.document) }
              : brokenOffEnd("The calibration", event.outcome, this.#stopReason),
        });
    }
  }

  #change(change: Partial<CalibrationView>): void {
    this.#view = { ...this.#view, ...change };
    this.#options.onView();
  }
}
