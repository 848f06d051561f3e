import type { Fault } from "../plan/fault.js";
import type { Plan } from "../plan/plan-schema.js";
import { CareDesk } from "./bench-care/care-desk.js";
import type { CareDocuments } from "./bench-care/care-documents.js";
import type { BenchDesk, DeskGround } from "./bench-desk.js";
import { BenchList } from "./bench-list.js";
import type { BenchSource } from "./bench-source.js";
import { type BatchKeeper, CableDesk } from "./cable-batch/cable-desk.js";
import { type ChosenPlan, chosenPlan } from "./chosen-plan.js";
import type { BenchView, CommandAck, CommandPayload, PlansView, TraceBatch, WorkbenchState } from "./contract.js";
import { chosenFaults, putView } from "./fault-choices.js";
import { FlexWatchDesk } from "./flex-watch/flex-watch-desk.js";
import { FollowUps } from "./follow-ups.js";
import { CheckJournal } from "./guided-check/check-journal.js";
import { GuidedCheck, type GuideGround } from "./guided-check/guided-check.js";
import type { LeftCheck } from "./guided-check/left-check.js";
import { ListeningDesk } from "./listening/listening-desk.js";
import type { PlanShelf } from "./plan-shelf.js";
import type { StripBatch } from "./strip/strip-contract.js";
import { TickedChecks } from "./ticked-checks.js";
import { noWalk, type StopReason } from "./walk-fold.js";
import { WalkRun, type WalkRunOptions } from "./walk-run.js";

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
  readonly #plans: PlanShelf;
  readonly #listener: WorkbenchListener;
  readonly #list: BenchList;
  #chosen: ChosenPlan | null = null;
  #faults: readonly Fault[] = [];
  readonly #ticked = new TickedChecks();
  #walks = 0;
  #run: WalkRun | null = null;
  /** What the last walk has walked: bench and faults. */
  #walked = "";
  readonly followUps: FollowUps;
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
    plans: () => ({
      list: this.#plans.list,
      refused: this.#plans.refused,
      chosen: this.#chosen?.view ?? null,
      chosenIs: this.#chosenIs(),
      folder: this.#plans.folder,
      problem: this.#plans.problem,
    }),
    faults: () => ({
      groups: this.#chosen?.groups ?? [],
      put: this.#chosen ? putView(this.#chosen.plan, this.#faults) : [],
    }),
    checks: () => ({ needed: this.#checksNeeded(), items: this.#ticked.items(this.#chosen?.plan) }),
    hindrances: () => this.#hindrances(),
    walk: () => this.#run?.view ?? noWalk,
    backFeed: () => this.followUps.backFeedView(),
    round: () => this.followUps.roundView(),
    flexWatch: () => this.flexWatch.view(),
    listening: () => this.listening.view(),
    guide: () => this.guide.view(),
    nextCheck: () => this.guide.nextCheckView(),
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
    listener: WorkbenchListener,
  ) {
    this.#version = version;
    this.#benches = benches;
    this.#plans = plans;
    this.#listener = listener;
    this.#list = new BenchList(benches);
    const ground: DeskGround = {
      plan: () => this.#chosen?.plan,
      bench: () => this.#list.chosen,
      walk: () => this.#run && { run: this.#run, same: this.#walked === this.#whatIsWalked() },
      hindrances: () => this.#hindrances(),
      busy: () => this.#busy(),
      changePlan: (plan) => this.#changePlan(plan),
      planIsSample: () => this.#chosen?.summary.origin === "sample",
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
    this.followUps = new FollowUps(ground);
    this.flexWatch = new FlexWatchDesk(ground);
    this.listening = new ListeningDesk(ground);
    this.care = new CareDesk(ground, careDocuments, benches.board);
    this.#desks = [this.followUps, this.flexWatch, this.listening, this.care];
    this.#journal = new CheckJournal(checksDir);
    const guideGround = {
      ...ground,
      checks: () => this.#sections.checks(),
      faults: () => this.#faults,
      takeUp: (left: LeftCheck) => this.#takeUp(left),
    };
    this.guide = new GuidedCheck(guideGround, this.followUps, this.#journal);
    this.cable = new CableDesk({ ...ground, startWalk: () => this.startWalk() }, keeper);
  }

  get run(): WalkRun | null {
    return this.#run;
  }

  state(): WorkbenchState {
    const names = Object.keys(this.#sections) as (keyof WorkbenchState)[];
    // The table has a row for every section.
    return this.#told(names) as WorkbenchState;
  }

  traces(): TraceBatch {
    return this.#run?.traces() ?? { walkNumber: 0, pins: {} };
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
    return { bench: this.#list.chosen?.name ?? null, plan: this.#chosen?.plan.name ?? null, busy: this.#busy() };
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

  choosePlan({ planId }: CommandPayload<"plan:choose">): CommandAck {
    if (this.#busy()) return whileBusy;
    const shelved = this.#plans.get(planId);
    if (!shelved) return refuse("no-such-plan", "That plan is not there any more.");
    const chosen = chosenPlan(shelved);
    if (typeof chosen === "string") return refuse("plan-unsolvable", chosen);
    this.#chosen = chosen;
    this.#faults = [];
    this.#ticked.clear();
    // What was measured belongs to the plan before.
    this.#run = null;
    this.guide.reset();
    this.cable.reset();
    for (const desk of this.#desks) desk.reset();
    this.#tell("plans", "faults", "checks", "hindrances", "walk", "backFeed", "round");
    return done;
  }

  async #changePlan(plan: Plan): Promise<CommandAck> {
    if (this.#busy()) return whileBusy;
    if (!this.#chosen) return refuse("no-plan", "Choose a plan first.");
    const { summary, version } = this.#chosen;
    const before = { id: summary.id, version };
    const saved = await (summary.origin === "own" ? this.#plans.replace(before, plan) : this.#plans.addNew(plan));
    return saved.ok ? this.choosePlan({ planId: saved.id }) : saved;
  }

  async uploadPlan({ fileName, text }: CommandPayload<"plan:upload">): Promise<CommandAck> {
    if (this.#busy()) return whileBusy;
    const added = await this.#plans.add(fileName, text);
    if (!added.ok) return { ...added, code: "bad-plan" };
    const answer = this.choosePlan({ planId: added.id });
    this.#tell("plans");
    return answer;
  }

  /** Plans were saved or deleted. The chosen one stays as it was chosen, for it may have been walked. */
  plansChanged(): void {
    this.#tell("plans", "hindrances");
  }

  setFaults({ faults }: CommandPayload<"faults:set">): CommandAck {
    if (this.#busy()) return whileBusy;
    if (!this.#chosen) return refuse("no-plan", "Choose a plan first.");
    const chosen = chosenFaults(this.#chosen.plan, faults);
    if (!chosen.ok) return refuse("bad-fault", chosen.message);
    this.#faults = chosen.faults;
    this.#tell("faults", "backFeed", "round");
    return done;
  }

  tick({ checkId, ticked }: CommandPayload<"check:tick">): CommandAck {
    if (this.#busy()) return whileBusy;
    if (!this.#ticked.tick(this.#chosen?.plan, checkId, ticked))
      return refuse("no-such-check", "There is no such check.");
    this.#tell("checks", "hindrances", "round");
    return done;
  }

  startWalk(): CommandAck {
    if (this.#busy()) return whileBusy;
    const hindrance = this.#hindrances()[0];
    const bench = this.#list.chosen;
    const plan = this.#chosen?.plan;
    if (hindrance !== undefined || !bench || !plan) return refuse("not-ready", hindrance ?? "Not ready.");
    this.#walks += 1;
    this.#walked = this.#whatIsWalked();
    for (const desk of this.#desks) desk.reset();
    this.guide.begin();
    const run = new WalkRun(this.#runOptions(plan, bench.name, () => this.#openPort(bench)));
    this.#run = run;
    this.#tell("walk", "backFeed", "round");
    void run.done.then(() => this.#afterJob());
    return done;
  }

  /** Reads the checks that were left unfinished. */
  async load(): Promise<void> {
    await this.#journal.load();
    this.#tell("guide");
  }

  /** Plan, simulated vehicle, bench and readings as they were left. A bench that is not there now can be chosen later. */
  async #takeUp(left: LeftCheck): Promise<TakenUp> {
    const added = await this.#plans.add("The plan of this check", JSON.stringify(left.plan, null, 2));
    if (!added.ok) return { ...added, code: "bad-plan" };
    const chosen = this.choosePlan({ planId: added.id });
    const plan = this.#chosen?.plan;
    if (!chosen.ok || !plan)
      return chosen.ok ? { ok: false, code: "no-plan", message: "The plan is not there." } : chosen;
    const faults = chosenFaults(plan, left.faults);
    this.#faults = faults.ok ? faults.faults : [];
    const bench = this.#list.found.find(({ id, name }) => id === left.bench.id && name === left.bench.name);
    if (bench?.state === "ready") this.#list.choose(bench.id);
    this.#walked = JSON.stringify([left.bench.id, left.bench.name, this.#faults]);
    this.#walks += 1;
    const { readings, answers, walked: whole } = left;
    const run = new WalkRun(
      this.#runOptions(plan, left.bench.name, () => Promise.reject(new Error("nothing is driven again"))),
      { readings, answers, whole },
    );
    if (left.recordHash !== null) run.recorded = { hash: left.recordHash, findings: undefined };
    this.#run = run;
    this.#tell("plans", "benches", "faults", "checks", "hindrances", "walk", "backFeed", "round");
    const changed = `${left.bench.name} is not connected, or another bench is chosen. What it measured stands; to measure more, connect it and choose it, or walk again with the bench that is there.`;
    return { ok: true, changed: this.#walked === this.#whatIsWalked() ? null : changed };
  }

  #runOptions(plan: Plan, benchName: string, openPort: () => ReturnType<BenchSource["open"]>): WalkRunOptions {
    return {
      number: this.#walks,
      plan,
      benchName,
      openPort,
      onView: () => this.#tell("walk", "nextCheck"),
      onSamples: (batch) => this.#listener.onSamples(batch),
    };
  }

  /** Stops whatever goes on. */
  stopWalk(reason: StopReason): CommandAck {
    this.#run?.stop(reason);
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
    await this.#run?.done;
    for (const desk of this.#desks) await desk.idle();
    await this.guide.close();
  }

  /** Meanwhile somebody may have crept under the vehicle: every walk is checked for anew. */
  #afterJob(): void {
    if (!this.cable.batchGoesOn) this.#ticked.clear();
    this.#tell("checks", "hindrances", "backFeed", "round");
  }

  #busy(): boolean {
    return this.#run?.going === true || this.#desks.some((desk) => desk.going);
  }

  #whatIsWalked(): string {
    return JSON.stringify([this.#list.chosenId, this.#list.chosen?.name, this.#faults]);
  }

  #openPort(bench: BenchView): ReturnType<BenchSource["open"]> {
    const plan = this.#chosen?.plan;
    if (!plan) throw new Error("nothing is opened without a plan");
    return this.#benches.open(bench, { plan, faults: this.#faults });
  }

  #chosenIs(): PlansView["chosenIs"] {
    const shelved = this.#chosen && this.#plans.get(this.#chosen.summary.id);
    if (!shelved) return this.#chosen ? "deleted" : "same";
    return shelved.version === this.#chosen?.version ? "same" : "changed";
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
      ...(this.#chosen ? [] : ["Choose a plan first."]),
      ...(this.#chosenIs() === "changed" ? ["The plan has been edited since it was chosen: choose it again."] : []),
      ...(this.#checksNeeded() ? this.#ticked.hindrance(this.#chosen?.plan) : []),
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

const jobSections = ["flexWatch", "listening", "selfTest", "calibration"] as const;
const whileBusy = refuse("walking", "Something goes on with the bench. Stop it first.");
