import type { BenchPort } from "../bench/port.js";
import type { Findings } from "../diagnosis/findings.js";
import type { Plan } from "../plan/plan-schema.js";
import { type Walk, walk } from "../procedures/walk.js";
import type { Readings } from "../readings/readings.js";
import type { TraceBatch, WalkView } from "./contract.js";
import { TraceBook } from "./trace-book.js";
import { foldWalkEvent, noWalk, type StopReason } from "./walk-fold.js";

export interface WalkRunOptions {
  readonly number: number;
  readonly plan: Plan;
  readonly benchName: string;
  readonly openPort: () => Promise<BenchPort>;
  /** The view has changed. */
  readonly onView: () => void;
  /** Samples that nobody has been sent yet. */
  readonly onSamples: (batch: TraceBatch) => void;
}

/** Samples go out this often; a browser draws at most once per frame anyway. */
const batchMs = 40;

/** One walk as the server sees it: the view that its events add up to, its samples, and its documents at the end. */
export class WalkRun {
  readonly #walk: Walk;
  readonly #options: WalkRunOptions;
  readonly #traces: TraceBook;
  #view: WalkView;
  #stopReason: StopReason | null = null;
  #readings: Readings | undefined;
  #findings: Findings | undefined;
  /** Settles when the walk has ended and everything is off. */
  readonly done: Promise<void>;

  constructor(options: WalkRunOptions) {
    const { number, plan, benchName, openPort } = options;
    this.#options = options;
    this.#traces = new TraceBook(number);
    this.#view = { ...noWalk, number, benchName, planName: plan.name, state: "running" };
    this.#walk = walk({ plan, port: openPort });
    this.done = this.#follow();
  }

  get view(): WalkView {
    return this.#view;
  }

  get going(): boolean {
    return this.#view.state !== "ended";
  }

  get plan(): Plan {
    return this.#options.plan;
  }

  get readings(): Readings | undefined {
    return this.#readings;
  }

  get findings(): Findings | undefined {
    return this.#findings;
  }

  traces(): TraceBatch {
    return this.#traces.whole();
  }

  /** Takes in what a job after the walk has added. */
  amend(readings: Readings, findings: Findings): void {
    this.#readings = readings;
    this.#findings = findings;
    this.#view = { ...this.#view, end: { kind: "judged", findings } };
    this.#options.onView();
  }

  /** Everything off and no further pin. Harmless when it has ended. */
  stop(reason: StopReason): void {
    if (this.#view.state !== "running") return;
    this.#stopReason = reason;
    this.#walk.cancel();
    this.#view = { ...this.#view, state: "stopping" };
    this.#options.onView();
  }

  async #follow(): Promise<void> {
    const timer = setInterval(() => this.#sendSamples(), batchMs);
    try {
      for await (const event of this.#walk) {
        if (event.kind === "trace") {
          this.#traces.add(event.pin, event.atMs, event.amps, event.volts);
          continue;
        }
        if (event.kind === "ended") this.#keepDocuments(event.outcome);
        // Samples of a pin reach the browser before the reading that they led to.
        this.#sendSamples();
        this.#view = foldWalkEvent(this.#view, event, this.#stopReason);
        this.#options.onView();
      }
    } finally {
      clearInterval(timer);
    }
  }

  #sendSamples(): void {
    const batch = this.#traces.takeUnsent();
    if (batch) this.#options.onSamples(batch);
  }

  #keepDocuments(outcome: Awaited<Walk["outcome"]>): void {
    this.#readings = outcome.readings;
    if (outcome.kind === "judged") this.#findings = outcome.findings;
  }
}
