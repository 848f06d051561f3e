import { CareDesk } from "./bench-care/care-desk.js";
import type { CareDocuments } from "./bench-care/care-documents.js";
import type { BenchDesk, DeskGround } from "./bench-desk.js";
import { BenchList } from "./bench-list.js";
import type { BenchSource } from "./bench-source.js";
import { type BatchKeeper, CableDesk } from "./cable-batch/cable-desk.js";
import type { BenchView, CommandAck, CommandPayload, TraceBatch, WorkbenchState } from "./contract.js";
import { FlexWatchDesk } from "./flex-watch/flex-watch-desk.js";
import { FollowUps } from "./follow-ups.js";
import { CheckJournal } from "./guided-check/check-journal.js";
import { GuidedCheck, type GuideGround } from "./guided-check/guided-check.js";
import type { LeftCheck } from "./guided-check/left-check.js";
import type { JudgedWithAnswers } from "./judging/judge-with-answers.js";
import type { JudgingDesk } from "./judging/judging-desk.js";
import { ListeningDesk } from "./listening/listening-desk.js";
import { KeepDrivenDesk } from "./next-check/keep-driven-desk.js";
import { PlanChoice } from "./plan-choice.js";
import type { PlanShelf } from "./plan-shelf.js";
import type { StripBatch } from "./strip/strip-contract.js";
import { TickedChecks } from "./ticked-checks.js";
import { WalkDesk } from "./walk-desk.js";
import type { StopReason } from "./walk-fold.js";
import type { WalkRun } from "./walk-run.js";

export interface WorkbenchListener {
  onChanged(sections: Partial<WorkbenchState>): void;
  onSamples(batch: TraceBatch): void;
  onStrip(batch: StripBatch): void;
}

type TakenUp = Awaited<ReturnType<GuideGround["takeUp"]>>;

const done: CommandAck = { ok: true };
const refuse = (code: string, message: string): CommandAck => ({ ok: false, code, message });

/**
 * What lies on the workbench: benches found, plans, the chosen ones, faults in the virtual vehicle, the check list, the
 * walk. One for all browsers, so that whoever joins late sees what the others see. Commands change it one at a time.
 */
export class Workbench {
  readonly #version: string;
  readonly #benches: BenchSource;
  readonly #listener: WorkbenchListener;
  readonly #list: BenchList;
  readonly planChoice: PlanChoice;
  readonly #ticked = new TickedChecks();
  readonly walking: WalkDesk;
  readonly followUps: FollowUps;
  readonly keepDriven: KeepDrivenDesk;
  readonly flexWatch: FlexWatchDesk;
  readonly listening: ListeningDesk;
  readonly guide: GuidedCheck;
  readonly cable: CableDesk;
  readonly care: CareDesk;
  readonly #journal: CheckJournal;
  readonly #followed = { guide: "", cable: "" };
  /** Every desk; whatever concerns all of them goes through here. */
  readonly #desks: readonly BenchDesk[];
  /** Each section of the state, made when it is told. */
  readonly #sections: { readonly [Name in keyof WorkbenchState]: () => WorkbenchState[Name] } = {
    version: () => this.#version,
    benches: () => this.#list.view,
    plans: () => this.planChoice.view(),
    faults: () => this.planChoice.faultsView(),
    checks: () => ({ needed: this.#checksNeeded(), items: this.#ticked.items(this.planChoice.plan) }),
    hindrances: () => this.#hindrances(),
    walk: () => this.walking.view(),
    backFeed: () => this.followUps.backFeedView(),
    round: () => this.followUps.roundView(),
    flexWatch: () => this.flexWatch.view(),
    listening: () => this.listening.view(),
    guide: () => this.guide.view(),
    nextCheck: () => this.guide.nextCheckView(),
    keepDriven: () => this.keepDriven.view(),
    cable: () => this.cable.view(),
    benchCare: () => this.care.sections.benchCare(),
    selfTest: () => this.care.sections.selfTest(),
    calibration: () => this.care.sections.calibration(),
  };

  /** `checksDir` is where unfinished checks are kept. */
  constructor(
    version: string,
    benches: BenchSource,
    plans: PlanShelf,
    checksDir: string,
    careDocuments: CareDocuments,
    keeper: BatchKeeper,
    judging: JudgingDesk,
    listener: WorkbenchListener,
  ) {
    this.#version = version;
    this.#benches = benches;
    this.#listener = listener;
    this.#list = new BenchList(benches);
    this.planChoice = new PlanChoice(plans, {
      busy: () => this.#busy(),
      onChosen: () => this.#onChosen(),
      onChanged: (...sections) => this.#tell(...sections),
    });
    const ground: DeskGround = {
      plan: () => this.planChoice.plan,
      bench: () => this.#list.chosen,
      walk: () => this.walking.last(),
      hindrances: () => this.#hindrances(),
      busy: () => this.#busy(),
      changePlan: (plan) => this.planChoice.change(plan),
      planIsSample: () => this.planChoice.isSample,
      openPort: (bench) => this.#openPort(bench),
      openBare: (bench) => this.#benches.openBare(bench),
      benches: () => this.#list.found,
      searching: () => this.#list.searching,
      learn: (benchId, facts) => {
        this.#list.learn(benchId, facts);
        this.#tell("benches");
      },
      onChanged: (...sections) => this.#tell(...sections),
      onStrip: (batch) => this.#listener.onStrip(batch),
      onEnded: () => this.#afterJob(),
    };
    const walkGround = {
      ...ground,
      faults: () => this.planChoice.faults,
      onBegin: () => this.#onBegin(),
      onSamples: (batch: TraceBatch) => this.#listener.onSamples(batch),
    };
    this.walking = new WalkDesk(walkGround, judging);
    this.followUps = new FollowUps(ground);
    this.keepDriven = new KeepDrivenDesk(ground);
    this.flexWatch = new FlexWatchDesk(ground);
    this.listening = new ListeningDesk(ground);
    this.care = new CareDesk(ground, careDocuments, benches.board);
    this.#desks = [this.walking, this.followUps, this.keepDriven, this.flexWatch, this.listening, this.care];
    this.#journal = new CheckJournal(checksDir);
    const guideGround = {
      ...ground,
      checks: () => this.#sections.checks(),
      faults: () => this.planChoice.faults,
      takeUp: (left: LeftCheck, judged: JudgedWithAnswers | undefined) => this.#takeUp(left, judged),
    };
    this.guide = new GuidedCheck(guideGround, this.followUps, this.#journal, judging);
    this.cable = new CableDesk({ ...ground, startWalk: () => this.walking.start() }, keeper);
  }

  get run(): WalkRun | null {
    return this.walking.run;
  }

  state(): WorkbenchState {
    const names = Object.keys(this.#sections) as (keyof WorkbenchState)[];
    // The table has a row for every section.
    return this.#told(names) as WorkbenchState;
  }

  traces(): TraceBatch {
    return this.walking.traces();
  }

  /** What is kept of watched wires. */
  strips(): readonly StripBatch[] {
    return [this.flexWatch.strips(), this.listening.strips()];
  }

  /** A bench has been taken or given back in another bay. */
  benchesChanged(): void {
    this.#tell("benches", "hindrances", "backFeed", "round");
  }

  /** What lies here, in a few words. */
  get inBrief(): { readonly bench: string | null; readonly plan: string | null; readonly busy: boolean } {
    return { bench: this.#list.chosen?.name ?? null, plan: this.planChoice.plan?.name ?? null, busy: this.#busy() };
  }

  /** Looks for benches again. What was chosen stays chosen while it is there. */
  async refresh(): Promise<CommandAck> {
    if (this.#busy()) return whileBusy;
    if (this.#list.searching) return done;
    await this.#list.search(() => this.#tell("benches", "hindrances"));
    this.#tell("benches", "checks", "hindrances", "backFeed", "round");
    return done;
  }

  chooseBench({ benchId }: CommandPayload<"bench:choose">): CommandAck {
    if (this.#busy()) return whileBusy;
    const bench = this.#list.found.find((one) => one.id === benchId);
    if (!bench) return refuse("no-such-bench", "That bench is not there any more. Look for benches again.");
    if (bench.state !== "ready") return refuse("bench-unusable", `${bench.name} cannot be used: ${bench.detail}`);
    this.#list.choose(benchId);
    this.#ticked.clear();
    this.#tell("benches", "checks", "hindrances", "backFeed", "round");
    return done;
  }

  /** What was measured belongs to the plan before. */
  #onChosen(): void {
    this.#ticked.clear();
    this.guide.reset();
    this.cable.reset();
    for (const desk of this.#desks) desk.reset();
    this.#tell("plans", "faults", "checks", "hindrances", "walk", "backFeed", "round");
  }

  /** Plans were saved or deleted. The chosen one stays as it was chosen, for it may have been walked. */
  plansChanged(): void {
    this.#tell("plans", "hindrances");
  }

  tick({ checkId, ticked }: CommandPayload<"check:tick">): CommandAck {
    if (this.#busy()) return whileBusy;
    if (!this.#ticked.tick(this.planChoice.plan, checkId, ticked))
      return refuse("no-such-check", "There is no such check.");
    this.#tell("checks", "hindrances", "round");
    return done;
  }

  #onBegin(): void {
    for (const desk of this.#desks) desk.reset();
    this.guide.begin();
  }

  /** Reads the checks that were left unfinished. */
  async load(): Promise<void> {
    await this.#journal.load();
    this.#tell("guide");
  }

  /** Plan, simulated vehicle, bench and readings as they were left. A bench that is not there now can be chosen later. */
  async #takeUp(left: LeftCheck, judged: JudgedWithAnswers | undefined): Promise<TakenUp> {
    const chosen = await this.planChoice.takeUp(left);
    const { plan } = this.planChoice;
    if (!chosen.ok || !plan)
      return chosen.ok ? { ok: false, code: "no-plan", message: "The plan is not there." } : chosen;
    const bench = this.#list.found.find(({ id, name }) => id === left.bench.id && name === left.bench.name);
    if (bench?.state === "ready") this.#list.choose(bench.id);
    this.walking.takeUp(plan, left, judged);
    this.#tell("plans", "benches", "faults", "checks", "hindrances");
    const changed = `${left.bench.name} is not connected, or another bench is chosen. What it measured stands; to measure more, connect it and choose it, or walk again with the bench that is there.`;
    return { ok: true, changed: this.walking.last()?.same === true ? null : changed };
  }

  /** Stops whatever goes on. */
  stopWalk(reason: StopReason): CommandAck {
    for (const desk of this.#desks) desk.stop(reason);
    return done;
  }

  /** A browser is gone. */
  left(who: string): void {
    for (const desk of this.#desks) desk.left(who);
  }

  /** Ends whatever goes on; settles when everything is off. */
  async close(): Promise<void> {
    this.stopWalk("closing");
    for (const desk of this.#desks) await desk.idle();
    await this.guide.close();
  }

  /** Meanwhile somebody may have crept under the vehicle: every walk is checked for anew. */
  #afterJob(): void {
    if (!this.cable.batchGoesOn) this.#ticked.clear();
    this.#tell("checks", "hindrances", "backFeed", "round");
  }

  #busy(): boolean {
    return this.#desks.some((desk) => desk.going);
  }

  #openPort(bench: BenchView): ReturnType<BenchSource["open"]> {
    const { plan, faults } = this.planChoice;
    if (!plan) throw new Error("nothing is opened without a plan");
    return this.#benches.open(bench, { plan, faults });
  }

  #checksNeeded(): boolean {
    return this.#list.chosen?.kind === "serial";
  }

  #hindrances(): string[] {
    const bench = this.#list.chosen;
    return [
      ...(bench ? [] : ["Choose a bench first."]),
      ...(bench?.state === "busy" ? [bench.detail] : []),
      // A port that is being asked cannot be walked on.
      ...(this.#list.searching && bench?.kind === "serial" ? ["Looking for benches …"] : []),
      ...this.planChoice.hindrances(),
      ...(this.#checksNeeded() ? this.#ticked.hindrance(this.planChoice.plan) : []),
    ];
  }

  #tell(...names: (keyof WorkbenchState)[]): void {
    // Whatever changes may be a step of the check, and what was measured goes to the disk first.
    this.guide.note();
    const following = (["guide", "cable"] as const).filter((name) => this.#turned(name));
    this.#listener.onChanged(this.#told([...new Set([...names, ...following])]));
  }

  /** Whether a section that follows from the others is not what it was when this was asked last. */
  #turned(name: "guide" | "cable"): boolean {
    const text = JSON.stringify(this.#sections[name]());
    if (this.#followed[name] === text) return false;
    this.#followed[name] = text;
    return true;
  }

  #told(names: readonly (keyof WorkbenchState)[]): Partial<WorkbenchState> {
    // Every job says why it cannot begin now.
    const jobs = names.includes("hindrances") ? jobSections : [];
    return Object.fromEntries([...names, ...jobs].map((name) => [name, this.#sections[name]()]));
  }
}

const jobSections = ["keepDriven", "flexWatch", "listening", "selfTest", "calibration"] as const;
const whileBusy = refuse("walking", "Something goes on with the bench. Stop it first.");
