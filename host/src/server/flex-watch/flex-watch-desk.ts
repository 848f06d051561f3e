import type { CablePlan, Plan } from "../../plan/plan-schema.js";
import { usualFlexThresholds } from "../../procedures/flex-watch/flex-thresholds.js";
import { placesOf } from "../../procedures/flex-watch/flex-watch.js";
import type { BenchDesk, DeskGround } from "../bench-desk.js";
import type { CommandAck, CommandPayload } from "../contract.js";
import { pinUse } from "../place-words.js";
import type { StripBatch } from "../strip/strip-contract.js";
import type { StopReason } from "../walk-fold.js";
import type { FlexConductorView, FlexSettings, FlexWatchView } from "./flex-watch-contract.js";
import type { FlexResult } from "./flex-watch-result.js";
import { FlexWatchRun } from "./flex-watch-run.js";

const done: CommandAck = { ok: true };
const refuse = (code: string, message: string): CommandAck => ({ ok: false, code, message });
const usualSettings: FlexSettings = { pins: [], seconds: 10, thresholds: usualFlexThresholds };

/** Where flex watches are set up, begun, followed and stopped. */
export class FlexWatchDesk implements BenchDesk {
  readonly #ground: DeskGround;
  #settings = usualSettings;
  #runs = 0;
  #run: FlexWatchRun | null = null;

  constructor(ground: DeskGround) {
    this.#ground = ground;
  }

  get going(): boolean {
    return this.#run?.going === true;
  }

  get result(): { readonly run: number; readonly document: FlexResult } | undefined {
    const document = this.#run?.result;
    return document && { run: this.#runs, document };
  }

  view(): FlexWatchView {
    const view = this.#run?.view ?? this.#idle();
    return { ...view, settings: this.#settings, hindrance: this.#hindrance() };
  }

  strips(): StripBatch {
    return this.#run?.strips() ?? { job: "flexWatch", run: this.#runs, pins: {} };
  }

  setUp({ thresholds, ...settings }: CommandPayload<"flex-watch:set-up">): CommandAck {
    if (this.going) return refuse("walking", "A flex watch goes on. Stop it first.");
    const plan = this.#ground.plan();
    if (plan?.kind !== "cable") return refuse("no-cable", "Choose the plan of a cable first.");
    const known = new Set(placesOf(plan, undefined).map(({ pin }) => pin));
    if (settings.pins?.some((pin) => !known.has(pin)))
      return refuse("no-such-conductor", "The plan has no such conductor that could be watched.");
    const next = { ...this.#settings, ...settings, thresholds: { ...this.#settings.thresholds, ...thresholds } };
    this.#settings = { ...next, pins: [...new Set(next.pins)] };
    this.#ground.onChanged("flexWatch");
    return done;
  }

  start(): CommandAck {
    const ground = this.#ground;
    if (ground.busy()) return refuse("walking", "Something else goes on with the bench. Stop it first.");
    const hindrance = this.#hindrance();
    const plan = ground.plan();
    const bench = ground.bench();
    if (hindrance !== null || plan?.kind !== "cable" || !bench) return refuse("not-ready", hindrance ?? "Not ready.");
    this.#runs += 1;
    const run = new FlexWatchRun({
      plan,
      bench,
      settings: this.#settings,
      begun: {
        ...this.#idle(),
        state: "running",
        run: this.#runs,
        benchName: bench.name,
      },
      openPort: () => ground.openPort(bench),
      onView: () => ground.onChanged("flexWatch"),
      onStrip: (batch) => ground.onStrip(batch),
    });
    this.#run = run;
    ground.onStrip(run.strips());
    ground.onChanged("flexWatch");
    void run.done.then(() => ground.onEnded());
    return done;
  }

  next(): CommandAck {
    if (!this.#run?.going) return refuse("not-going", "No flex watch goes on.");
    this.#run.next();
    return done;
  }

  async wiggle({ how }: CommandPayload<"flex-watch:wiggle">): Promise<CommandAck> {
    const moved = await this.#run?.wiggle(how);
    return moved === true ? done : refuse("no-simulation", "There is no simulated cable to move now.");
  }

  stop(reason: StopReason): void {
    this.#run?.stop(reason);
  }

  async idle(): Promise<void> {
    await this.#run?.done;
  }

  /** A walk of the same cable leaves its flex watch as it was; another plan does not. */
  reset(): void {
    const plan = this.#ground.plan();
    if (this.#run?.view.planName === plan?.name) return;
    this.#run = null;
    this.#settings = { ...this.#settings, pins: [] };
  }

  left(): void {}

  #idle(): FlexWatchView {
    const plan = this.#ground.plan();
    return {
      state: "idle",
      hindrance: null,
      end: null,
      run: this.#runs,
      benchName: "",
      planName: plan?.name ?? "",
      settings: this.#settings,
      thresholds: this.#settings.thresholds,
      choices: plan?.kind === "cable" ? placesOf(plan, undefined).map(({ pin }) => pin) : [],
      conductors: plan?.kind === "cable" ? conductorsOf(plan, this.#settings.pins) : [],
      now: null,
      gaps: [],
      simulated: false,
      hasResult: false,
    };
  }

  #hindrance(): string | null {
    const plan = this.#ground.plan();
    if (!plan) return "Choose the plan of a cable first.";
    const ofPlan = planHindrance(plan);
    return ofPlan ?? this.#ground.hindrances()[0] ?? null;
  }
}

function planHindrance(plan: Plan): string | null {
  if (plan.kind !== "cable")
    return "This plan is of a vehicle: a flex watch is for cables. Choose the plan of a cable.";
  return placesOf(plan, undefined).length > 0 ? null : "This cable has no conductor that may be driven.";
}

function conductorsOf(plan: CablePlan, pins: readonly string[]): readonly FlexConductorView[] {
  return placesOf(plan, pins.length === 0 ? undefined : pins).map(({ pin }) => ({
    pin,
    functionText: pinUse(plan, pin) ?? "",
    colour: plan.conductors.find((one) => one.near === pin)?.wire.colour ?? null,
    state: "to-come",
    gapCount: 0,
    longestGapMs: 0,
    totalGapMs: 0,
    ohms: null,
    lostWindows: 0,
    verdict: null,
    words: null,
  }));
}
