import type { Plan } from "../plan/plan-schema.js";
import { benchVoltageHindrance } from "../procedures/require-bench-voltage.js";
import type { Readings } from "../readings/readings.js";
import { BackFeedRun, backFeedHindrance, noBackFeed } from "./back-feed-run.js";
import type { BenchDesk, DeskGround } from "./bench-desk.js";
import type { BackFeedView, CommandAck, CommandPayload, RoundView } from "./contract.js";
import type { JobRun, JobRunOptions } from "./job-run.js";
import { noRound, RoundRun, roundHindrance } from "./round-run.js";
import type { StopReason } from "./walk-fold.js";

const done: CommandAck = { ok: true };
const refuse = (code: string, message: string): CommandAck => ({ ok: false, code, message });
const busy = refuse("walking", "Something else goes on with the bench. Stop it first.");

/** Back-feed watch and walk-round: jobs that add to the readings of the last walk. One at a time. */
export class FollowUps implements BenchDesk {
  readonly #ground: DeskGround;
  #backFeed: BackFeedRun | null = null;
  #round: RoundRun | null = null;

  constructor(ground: DeskGround) {
    this.#ground = ground;
  }

  get going(): boolean {
    return this.#present !== null;
  }

  backFeedView(): BackFeedView {
    const view = this.#backFeed?.view ?? noBackFeed(this.#ground.plan());
    return { ...view, hindrance: this.#hindrance(backFeedHindrance) };
  }

  roundView(): RoundView {
    const view = this.#round?.view ?? noRound(this.#ground.plan());
    return { ...view, hindrance: this.#hindrance(roundHindrance) ?? this.#ground.hindrances()[0] ?? null };
  }

  startBackFeed(): CommandAck {
    return this.#start(this.backFeedView().hindrance, "backFeed", (options) => {
      this.#backFeed = new BackFeedRun(options);
      return this.#backFeed;
    });
  }

  answerBackFeed(payload: CommandPayload<"back-feed:answer">): CommandAck {
    if (!this.#backFeed?.going) return refuse("not-going", "No back-feed watch goes on.");
    this.#backFeed.answer(payload);
    return done;
  }

  async switchVehicle({ askId }: CommandPayload<"back-feed:switch">): Promise<CommandAck> {
    const switched = await this.#backFeed?.switchOwn(askId);
    return switched === true ? done : refuse("no-simulation", "There is no simulated vehicle to switch now.");
  }

  startRound(who: string): CommandAck {
    return this.#start(this.roundView().hindrance, "round", (options) => {
      this.#round = new RoundRun(options, who);
      return this.#round;
    });
  }

  answerRound(who: string, payload: CommandPayload<"round:answer">): CommandAck {
    const known = new Set(this.#round?.view.lamps.flatMap(({ filaments }) => filaments.map(({ id }) => id)));
    if (payload.lit?.some((lamp) => !known.has(lamp))) return refuse("no-such-lamp", "The plan has no such lamp.");
    return this.#round?.answer(who, payload) === true
      ? done
      : refuse("not-lit", "That light is out, or another browser does the walk-round now.");
  }

  keepRound(who: string): CommandAck {
    this.#round?.keep(who);
    return done;
  }

  lightRound(who: string): CommandAck {
    if (!this.#round?.going) return refuse("not-going", "No walk-round goes on.");
    this.#round.light(who);
    return done;
  }

  finishRound(who: string): CommandAck {
    return this.#round?.finish(who) === true
      ? done
      : refuse("not-going", "No walk-round goes on here, or another browser does it.");
  }

  /** A browser is gone. */
  left(who: string): void {
    this.#round?.left(who);
  }

  /** Control has gone to another: whoever answered the walk-round cannot any more, so its light goes out. */
  handedOver(): void {
    const controller = this.#round?.view.controller;
    if (controller) this.#round?.left(controller);
  }

  stop(reason: StopReason): void {
    this.#present?.stop(reason);
  }

  /** Settles when nothing goes on. */
  async idle(): Promise<void> {
    await this.#present?.done;
  }

  /** Forgets what belonged to the walk before. */
  reset(): void {
    this.#backFeed = null;
    this.#round = null;
  }

  get #present(): JobRun | null {
    return [this.#backFeed, this.#round].find((run) => run?.going) ?? null;
  }

  #start(
    hindrance: string | null,
    section: "backFeed" | "round",
    begin: (options: JobRunOptions) => JobRun,
  ): CommandAck {
    const ground = this.#ground;
    if (ground.busy()) return busy;
    const plan = ground.plan();
    const bench = ground.bench();
    const run = ground.walk()?.run;
    if (run?.weighing === true) return refuse("weighing", "An answer is still being weighed. Try again in a moment.");
    if (hindrance !== null || !plan || !bench || !run?.readings) return refuse("not-ready", hindrance ?? "Not ready.");
    const job = begin({
      plan,
      bench,
      base: run.readings,
      openPort: () => ground.openPort(bench),
      onView: () => ground.onChanged(section),
      onMeasured: (readings) => {
        run.add(readings);
        ground.onChanged("guide");
      },
      onJudged: ({ readings, findings }) => run.amend(readings, findings),
      onBrokenOff: (readings) => run.amendUnjudged(readings),
      judge: (_plan, readings, signal) => run.judge(readings, signal),
    });
    ground.onChanged(section);
    void job.done.then(() => ground.onEnded());
    return done;
  }

  #hindrance(ofPlan: (plan: Plan, base: Readings) => string | null): string | null {
    const plan = this.#ground.plan();
    const walk = this.#ground.walk();
    if (!plan) return "Choose a plan first.";
    // No walk would change this.
    const voltage = benchVoltageHindrance(plan);
    if (voltage !== null) return voltage;
    if (walk?.run.view.end?.kind !== "judged" || !walk.run.readings)
      return "Walk every pin first: this adds to what the walk has measured.";
    if (!walk.same) return "Bench or vehicle were changed since the last walk: walk again first.";
    return ofPlan(plan, walk.run.readings);
  }
}
