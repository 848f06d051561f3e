import type { Fault } from "../plan/fault.js";
import type { Plan } from "../plan/plan-schema.js";
import type { BenchDesk, DeskGround } from "./bench-desk.js";
import type { CommandAck, TraceBatch, WalkView } from "./contract.js";
import type { LeftCheck } from "./guided-check/left-check.js";
import type { JudgedWithAnswers } from "./judging/judge-with-answers.js";
import type { JudgingDesk } from "./judging/judging-desk.js";
import { noWalk, type StopReason } from "./walk-fold.js";
import { WalkRun, type WalkRunOptions } from "./walk-run.js";

/** What walking needs of the workbench. */
export interface WalkGround
  extends Pick<DeskGround, "plan" | "bench" | "hindrances" | "busy" | "openPort" | "onChanged" | "onEnded"> {
  /** What is wrong with the simulated vehicle. */
  faults(): readonly Fault[];
  /** A walk is about to begin: what belonged to the one before is forgotten. */
  onBegin(): void;
  onSamples(batch: TraceBatch): void;
}

const done: CommandAck = { ok: true };
const refuse = (code: string, message: string): CommandAck => ({ ok: false, code, message });

/** Walks of the chosen plan, one at a time; the last one stays until there is another or another plan. */
export class WalkDesk implements BenchDesk {
  readonly #ground: WalkGround;
  readonly #judging: JudgingDesk;
  #walks = 0;
  #run: WalkRun | null = null;
  /** What the last walk has walked: bench and faults. */
  #walked = "";

  constructor(ground: WalkGround, judging: JudgingDesk) {
    this.#ground = ground;
    this.#judging = judging;
  }

  get run(): WalkRun | null {
    return this.#run;
  }

  get going(): boolean {
    return this.#run?.going === true;
  }

  view(): WalkView {
    return this.#run?.view ?? noWalk;
  }

  traces(): TraceBatch {
    return this.#run?.traces() ?? { walkNumber: 0, pins: {} };
  }

  /** The last walk, and whether bench and vehicle are still those that it walked. */
  last(): ReturnType<DeskGround["walk"]> {
    return this.#run && { run: this.#run, same: this.#walked === this.#whatIsWalked() };
  }

  start(): CommandAck {
    const ground = this.#ground;
    if (ground.busy()) return refuse("walking", "Something goes on with the bench. Stop it first.");
    const hindrance = ground.hindrances()[0];
    const bench = ground.bench();
    const plan = ground.plan();
    if (hindrance !== undefined || !bench || !plan) return refuse("not-ready", hindrance ?? "Not ready.");
    ground.onBegin();
    this.#walked = this.#whatIsWalked();
    const run = new WalkRun(this.#options(plan, bench.name, () => ground.openPort(bench)));
    this.#run = run;
    ground.onChanged("walk", "backFeed", "round");
    void run.done.then(() => ground.onEnded());
    return done;
  }

  /** Readings and answers as an unfinished check has left them, with what they mean; undefined where it was broken off. */
  takeUp(plan: Plan, left: LeftCheck, judged: JudgedWithAnswers | undefined): void {
    this.#walked = JSON.stringify([left.bench.id, left.bench.name, this.#ground.faults()]);
    const { readings, answers } = left;
    const nothing = (): Promise<never> => Promise.reject(new Error("nothing is driven again"));
    const run = new WalkRun(this.#options(plan, left.bench.name, nothing), { readings, answers, judged });
    if (left.recordHash !== null) run.recorded = { hash: left.recordHash, findings: undefined };
    this.#run = run;
    this.#ground.onChanged("walk", "backFeed", "round");
  }

  stop(reason: StopReason): void {
    this.#run?.stop(reason);
  }

  /** Settles when nothing goes on and everything is off. */
  async idle(): Promise<void> {
    await this.#run?.done;
  }

  reset(): void {
    this.#run?.abandon();
    this.#run = null;
  }

  /** A walk goes on whoever leaves: whether somebody is there who may stop it is asked elsewhere. */
  left(): void {}

  #options(plan: Plan, benchName: string, openPort: WalkRunOptions["openPort"]): WalkRunOptions {
    this.#walks += 1;
    return {
      number: this.#walks,
      plan,
      benchName,
      openPort,
      judging: this.#judging,
      onView: () => this.#ground.onChanged("walk", "nextCheck"),
      onSamples: (batch) => this.#ground.onSamples(batch),
    };
  }

  #whatIsWalked(): string {
    const bench = this.#ground.bench();
    return JSON.stringify([bench?.id, bench?.name, this.#ground.faults()]);
  }
}
