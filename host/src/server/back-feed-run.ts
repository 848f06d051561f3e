import type { BenchPort } from "../bench/port.js";
import type { VirtualBench } from "../bench/virtual/virtual-bench.js";
import { connectorOf } from "../plan/connectors.js";
import type { Plan } from "../plan/plan-schema.js";
import { BackFeedWatch } from "../procedures/back-feed-watch.js";
import { backFeedAsks, backFeedMarginVolts } from "../procedures/back-feed-watch-asks.js";
import { anyWatched, foldBackFeedEvent } from "./back-feed-fold.js";
import type { BackFeedView, BenchView, CommandPayload } from "./contract.js";
import type { JobRun, JobRunOptions } from "./job-run.js";
import { pinUse } from "./place-words.js";
import { simulatedVehicleOf } from "./simulated-vehicle-of.js";
import type { StopReason } from "./walk-fold.js";

/** A back-feed watch as the server sees it: the view that its events add up to. */
export class BackFeedRun implements JobRun {
  readonly done: Promise<void>;
  readonly #plan: Plan;
  readonly #options: JobRunOptions;
  readonly #watch: BackFeedWatch;
  #view: BackFeedView;
  #vehicle: VirtualBench | undefined;
  #stopReason: StopReason | null = null;

  constructor(options: JobRunOptions) {
    const { plan, base, bench, openPort, judge } = options;
    this.#plan = plan;
    this.#options = options;
    this.#view = { ...noBackFeed(plan), state: "running" };
    this.#watch = new BackFeedWatch({ plan, base, judge, port: () => this.#open(bench, openPort) });
    this.done = this.#follow();
  }

  get view(): BackFeedView {
    return this.#view;
  }

  get going(): boolean {
    return this.#view.state !== "ended";
  }

  answer({ answer }: CommandPayload<"back-feed:answer">): void {
    if (answer === "finish") this.#watch.finish();
    else if (answer === "skip") this.#watch.skip();
    else this.#watch.confirm();
  }

  /** Switches the simulated vehicle. False where there is none, or no such function. */
  async switchOwn(askId: string | null): Promise<boolean> {
    const ask = backFeedAsks(this.#plan).find(({ id }) => id === askId);
    if (!this.#vehicle || (askId !== null && !ask)) return false;
    await this.#vehicle.setOwnFunctions(ask?.functions ?? []);
    this.#change({ ...this.#view, simulated: { onId: askId } });
    return true;
  }

  stop(reason: StopReason): void {
    if (this.#view.state !== "running") return;
    this.#stopReason = reason;
    this.#watch.cancel();
    this.#change({ ...this.#view, state: "stopping" });
  }

  async #open(bench: BenchView, openPort: () => Promise<BenchPort>): Promise<BenchPort> {
    const port = await openPort();
    this.#vehicle = simulatedVehicleOf(bench, port);
    if (this.#vehicle) this.#change({ ...this.#view, simulated: { onId: null } });
    return port;
  }

  async #follow(): Promise<void> {
    for await (const event of this.#watch) {
      if (event.kind === "recorded") this.#options.onMeasured(this.#watch.readings);
      if (event.kind === "ended") {
        this.#vehicle = undefined;
        if (event.outcome.kind === "judged") this.#options.onJudged(event.outcome);
        else if (anyWatched(this.#view)) await this.#options.onBrokenOff(this.#watch.readings);
      }
      this.#change(foldBackFeedEvent(this.#view, event, this.#stopReason));
    }
  }

  #change(view: BackFeedView): void {
    this.#view = view;
    this.#options.onView();
  }
}

/** Before the first watch of a plan. */
export function noBackFeed(plan: Plan | undefined): BackFeedView {
  const ground = plan?.kind === "install" ? plan.ground.pin : undefined;
  const pins = plan ? connectorOf(plan).pins.filter(({ pin }) => pin !== ground) : [];
  return {
    state: "idle",
    hindrance: null,
    end: null,
    step: null,
    asks: plan ? backFeedAsks(plan).map(({ id, text }) => ({ id, text, state: "to-come", detail: null })) : [],
    pins: pins.map(({ pin, use }) => ({
      pin,
      functionText: plan ? (pinUse(plan, pin) ?? use) : use,
      volts: null,
      over: false,
    })),
    marginVolts: backFeedMarginVolts,
    simulated: null,
  };
}

/** Why a back-feed watch can add nothing to this plan. */
export function backFeedHindrance(plan: Plan): string | null {
  if (plan.kind === "cable") return "A cable has no lamps of its own to switch on: the watch is for vehicles.";
  return backFeedAsks(plan).length > 0 ? null : "This plan shares no lamp with the vehicle's own functions.";
}
