import type { BenchPort } from "../bench/port.js";
import type { Findings } from "../diagnosis/findings.js";
import type { Plan } from "../plan/plan-schema.js";
import { keepablePins } from "../procedures/keep-driven.js";
import { type Walk, walk } from "../procedures/walk.js";
import type { Readings } from "../readings/readings.js";
import type { TraceBatch, WalkView } from "./contract.js";
import type { JudgedWithAnswers } from "./judging/judge-with-answers.js";
import { type JudgingDesk, NotJudgedError } from "./judging/judging-desk.js";
import type { GivenAnswer, NextCheckView } from "./next-check/next-check-contract.js";
import { nextCheckView } from "./next-check/next-check-view.js";
import { TraceBook } from "./trace-book.js";
import { foldWalkEvent, noWalk, restoredWalk, type StopReason } from "./walk-fold.js";

export interface WalkRunOptions {
  readonly number: number;
  readonly plan: Plan;
  readonly benchName: string;
  readonly openPort: () => Promise<BenchPort>;
  /** Where its readings are judged. */
  readonly judging: JudgingDesk;
  /** The view has changed. */
  readonly onView: () => void;
  /** Samples that nobody has been sent yet. */
  readonly onSamples: (batch: TraceBatch) => void;
}

/** A walk of an earlier time, to go on from where it was left. */
export interface LeftWalk {
  readonly readings: Readings;
  readonly answers: readonly GivenAnswer[];
  /** What they mean; undefined for a walk that was broken off before it could be judged. */
  readonly judged: JudgedWithAnswers | undefined;
}

/** Samples go out this often; a browser draws at most once per frame anyway. */
const batchMs = 40;

/** One walk as the server sees it: the view that its events add up to, its samples, and its documents at the end. */
export class WalkRun {
  readonly #walk: Walk | null;
  readonly #options: WalkRunOptions;
  readonly #traces: TraceBook;
  #view: WalkView;
  #stopReason: StopReason | null = null;
  #readings: Readings | undefined;
  #findings: Findings | undefined;
  #answers: readonly GivenAnswer[] = [];
  #counts: readonly boolean[] = [];
  /** Judged for a job after the walk, which has not handed its readings over yet. */
  #coming: JudgedWithAnswers | undefined;
  #weighing = false;
  readonly #leaving = new AbortController();
  /** The record that it has become, with the findings that stand there; undefined for findings of an earlier time. */
  recorded: { readonly hash: string; readonly findings: Findings | undefined } | undefined;
  /** Settles when the walk has ended and everything is off. */
  readonly done: Promise<void>;

  /** Begins to walk; with `left` it drives nothing and stands as the earlier walk has ended. */
  constructor(options: WalkRunOptions, left?: LeftWalk) {
    const { number, plan, benchName, openPort } = options;
    this.#options = options;
    this.#traces = new TraceBook(number);
    const begun: WalkView = { ...noWalk, number, benchName, planName: plan.name, state: "running" };
    if (left) {
      this.#walk = null;
      this.#readings = left.readings;
      this.#answers = left.answers;
      if (left.judged) this.#take(left.judged);
      this.#view = restoredWalk(begun, left.readings, this.#findings);
      this.done = Promise.resolve();
      return;
    }
    this.#view = begun;
    this.#walk = walk({ plan, port: openPort, judge: (_plan, readings, signal) => this.judge(readings, signal) });
    this.done = this.#follow(this.#walk);
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

  /** What was measured; while the walk goes on, what there is so far. */
  get readings(): Readings | undefined {
    return this.#readings;
  }

  get findings(): Findings | undefined {
    return this.#findings;
  }

  /** What came of next checks, in the order in which they were made. */
  get answers(): readonly GivenAnswer[] {
    return this.#answers;
  }

  /** Of {@link answers}, those that the findings rest on. */
  get countedAnswers(): readonly GivenAnswer[] {
    return this.#answers.filter((_, index) => this.#counts[index]);
  }

  nextCheckView(): NextCheckView {
    const keepable = this.#readings ? keepablePins(this.plan, this.#readings) : [];
    return nextCheckView(this.#findings, this.#answers, this.#counts, keepable);
  }

  traces(): TraceBatch {
    return this.#traces.sent();
  }

  /** Takes in what a job after the walk has measured, while that goes on; it is judged when the job has ended. */
  add(readings: Readings): void {
    this.#readings = readings;
  }

  /** What readings mean together with what was answered. They stand when they are taken in. */
  async judge(readings: Readings, signal: AbortSignal): Promise<Findings> {
    this.#coming = await this.#options.judging.judge({ plan: this.plan, readings, answers: this.#answers }, signal);
    return this.#coming.findings;
  }

  /** Takes in what a job after the walk has added, with what {@link judge} has made of it. */
  amend(readings: Readings, findings: Findings): void {
    this.#readings = readings;
    this.#findings = findings;
    if (this.#coming?.findings === findings) this.#take(this.#coming);
    this.#showJudged();
  }

  /** The same of a job that was broken off, so that nothing was made of it yet. */
  async amendUnjudged(readings: Readings): Promise<void> {
    this.#readings = readings;
    try {
      this.amend(readings, await this.judge(readings, this.#leaving.signal));
    } catch (error) {
      if (!(error instanceof NotJudgedError)) throw error;
      // What is left now is judged when it is taken up again.
      if (this.#leaving.signal.aborted) return;
      this.#findings = undefined;
      this.#view = { ...this.#view, end: { kind: "could-not-test", code: error.code, message: error.message } };
      this.#options.onView();
    }
  }

  /** An answer is being weighed. */
  get weighing(): boolean {
    return this.#weighing;
  }

  /** Takes in what came of next checks, in the place of what was answered before. `void`: the last of them counts for nothing. */
  async answer(answers: readonly GivenAnswer[]): Promise<"taken" | "void" | NotJudgedError> {
    if (!this.#readings || !this.#findings) return "void";
    const { plan } = this.#options;
    this.#weighing = true;
    try {
      const task = { plan, readings: this.#readings, answers };
      const judged = await this.#options.judging.judge(task, this.#leaving.signal);
      if (answers.length > this.#answers.length && judged.counts.at(-1) !== true) return "void";
      this.#answers = answers;
      this.#take(judged);
    } catch (error) {
      if (error instanceof NotJudgedError) return error;
      throw error;
    } finally {
      this.#weighing = false;
    }
    this.#showJudged();
    return "taken";
  }

  /** Nobody asks for it any more: what is being judged of it is given up. */
  abandon(): void {
    this.#leaving.abort();
  }

  /** Everything off and no further pin. Harmless when it has ended. */
  stop(reason: StopReason): void {
    if (reason === "closing") this.abandon();
    if (this.#view.state !== "running") return;
    // Everything is off already, and a verdict is worth having when somebody comes back.
    const lost = reason === "nobody-left" || reason === "controller-lost";
    if (lost && this.#view.phase === "compare") return;
    this.#stopReason = reason;
    this.#walk?.cancel();
    this.#view = { ...this.#view, state: "stopping" };
    this.#options.onView();
  }

  #take({ findings, counts }: JudgedWithAnswers): void {
    this.#findings = findings;
    this.#counts = counts;
  }

  #showJudged(): void {
    const findings = this.#findings;
    if (findings) this.#view = { ...this.#view, end: { kind: "judged", findings } };
    this.#options.onView();
  }

  async #follow(running: Walk): Promise<void> {
    const timer = setInterval(() => this.#sendSamples(), batchMs);
    try {
      for await (const event of running) {
        if (event.kind === "trace") {
          this.#traces.add(event.pin, event.atMs, event.amps, event.volts);
          continue;
        }
        this.#readings = running.readings ?? this.#readings;
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
