import type { BenchPort } from "../bench/port.js";
import type { VirtualBench } from "../bench/virtual/virtual-bench.js";
import type { Plan } from "../plan/plan-schema.js";
import type { WalkOutcome } from "../procedures/walk-events.js";
import { lightablePins, WalkRound } from "../procedures/walk-round.js";
import type { WalkRoundEvent } from "../procedures/walk-round-events.js";
import type { Readings } from "../readings/readings.js";
import type { BenchView, CommandPayload, RoundView } from "./contract.js";
import type { JobRun, JobRunOptions } from "./job-run.js";
import { rearLamps } from "./rear-lamps.js";
import { simulatedVehicleOf } from "./simulated-vehicle-of.js";
import { jobEnd, type StopReason } from "./walk-fold.js";

/** How often the simulated vehicle is looked at while a circuit is lit. */
const lookMs = 200;

/** A walk-round as the server sees it: the view that its events add up to, and which browser may answer. */
export class RoundRun implements JobRun {
  readonly done: Promise<void>;
  readonly #options: JobRunOptions;
  readonly #round: WalkRound;
  #view: RoundView;
  #vehicle: VirtualBench | undefined;
  #stopReason: StopReason | null = null;

  constructor(options: JobRunOptions, controller: string) {
    const { plan, base, bench, openPort, judge } = options;
    this.#options = options;
    this.#view = { ...noRound(plan), state: "running", controller };
    this.#round = new WalkRound({ plan, base, judge, port: () => this.#open(bench, openPort) });
    this.done = this.#follow();
  }

  get view(): RoundView {
    return this.#view;
  }

  get going(): boolean {
    return this.#view.state !== "ended";
  }

  /** False if that light is not lit any more, or another browser answers. */
  answer(who: string, { step, lit }: CommandPayload<"round:answer">): boolean {
    return who === this.#view.controller && this.#round.answer(step, lit);
  }

  keep(who: string): void {
    if (who === this.#view.controller) this.#round.keep();
  }

  /** This browser looks from now on; a dark light is lit again. */
  light(who: string): void {
    this.#change({ ...this.#view, controller: who });
    this.#round.light();
  }

  /** What was answered counts, the rest is not judged. False if another browser answers. */
  finish(who: string): boolean {
    if (who !== this.#view.controller || this.#view.state !== "running") return false;
    this.#round.finish();
    return true;
  }

  /** A browser is gone; if it was the one that answers, so is the light. */
  left(who: string): void {
    if (who !== this.#view.controller) return;
    this.#round.leave();
    this.#change({ ...this.#view, controller: null });
  }

  stop(reason: StopReason): void {
    if (this.#view.state !== "running") return;
    this.#stopReason = reason;
    this.#round.cancel();
    this.#change({ ...this.#view, state: "stopping" });
  }

  async #open(bench: BenchView, openPort: () => Promise<BenchPort | VirtualBench>): Promise<BenchPort> {
    const port = await openPort();
    this.#vehicle = simulatedVehicleOf(bench, port);
    return port;
  }

  async #follow(): Promise<void> {
    const timer = setInterval(() => void this.#look(), lookMs);
    try {
      for await (const event of this.#round) {
        if (event.kind === "answered" && event.sure) this.#options.onMeasured(this.#round.readings);
        if (event.kind === "ended") await this.#tellEnd(event.outcome);
        this.#change(this.#fold(event));
        await this.#look();
      }
    } finally {
      clearInterval(timer);
    }
  }

  async #tellEnd(outcome: WalkOutcome): Promise<void> {
    if (outcome.kind === "judged") this.#options.onJudged(outcome);
    else if (this.#round.answered > 0) await this.#options.onBrokenOff(this.#round.readings);
  }

  /** What a person would see of the simulated vehicle; a look that fails is followed by the end of the walk-round. */
  async #look(): Promise<void> {
    if (!this.#vehicle || !this.going) return;
    const seen = await this.#vehicle.look().catch(() => undefined);
    if (!seen || !this.going) return;
    const { nominalVolts } = this.#options.plan;
    const simulated = Object.fromEntries(
      Object.entries(seen.lampVolts).map(([lamp, volts]) => [lamp, glowOf(volts / nominalVolts)]),
    );
    if (JSON.stringify(simulated) !== JSON.stringify(this.#view.simulated)) this.#change({ ...this.#view, simulated });
  }

  #fold(event: WalkRoundEvent): RoundView {
    const view = this.#view;
    switch (event.kind) {
      case "connecting":
        return { ...view, light: "connecting" };
      case "lit":
        // What was seen of the light before is none of this one.
        return { ...view, light: "lit", darkBecause: null, simulated: null, step: event.step, steps: event.steps };
      case "dark":
        return { ...view, light: "dark", darkBecause: event.why };
      case "answered":
        return { ...view, light: "changing" };
      case "ended": {
        const end = jobEnd("The walk-round", event.outcome, this.#stopReason, this.#round.answered > 0);
        return { ...view, state: "ended", light: null, darkBecause: null, controller: null, simulated: null, end };
      }
    }
  }

  #change(view: RoundView): void {
    this.#view = view;
    this.#options.onView();
  }
}

/**
 * Brightness of a lamp at a share of its nominal volts, 0 to 1 in steps of a tenth. The light of a filament goes about as the
 * 3.4th power of its volts (from memory).
 */
function glowOf(share: number): number {
  return Math.round(Math.min(1, Math.max(0, share) ** 3.4) * 10) / 10;
}

/** Before the first walk-round of a plan. */
export function noRound(plan: Plan | undefined): RoundView {
  return {
    state: "idle",
    hindrance: null,
    end: null,
    step: 0,
    steps: 0,
    light: null,
    darkBecause: null,
    controller: null,
    lamps: plan ? rearLamps(plan) : [],
    simulated: null,
  };
}

/** Why a walk-round can add nothing to this plan and walk. */
export function roundHindrance(plan: Plan, base: Readings): string | null {
  if (plan.kind === "cable") return "A cable has no lamps to look at: the walk-round is for vehicles.";
  return lightablePins(plan, base).length > 0
    ? null
    : "The last walk drove no circuit to its end, so there is nothing to light.";
}
