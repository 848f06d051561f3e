import type { Fault } from "../plan/fault.js";
import { checkList } from "../procedures/check-list.js";
import type { BenchDesk, DeskGround } from "./bench-desk.js";
import type { BenchSource } from "./bench-source.js";
import type { BenchView, CommandAck, CommandPayload, PlanView, TraceBatch, WorkbenchState } from "./contract.js";
import { chosenFaults, faultGroups, putView } from "./fault-choices.js";
import { FlexWatchDesk } from "./flex-watch/flex-watch-desk.js";
import { FollowUps } from "./follow-ups.js";
import type { PlanShelf, ShelvedPlan } from "./plan-shelf.js";
import { planView } from "./plan-view.js";
import type { StripBatch } from "./strip/strip-contract.js";
import { noWalk, type StopReason } from "./walk-fold.js";
import { WalkRun } from "./walk-run.js";

export interface WorkbenchListener {
  onChanged(sections: Partial<WorkbenchState>): void;
  onSamples(batch: TraceBatch): void;
  onStrip(batch: StripBatch): void;
}

interface Chosen extends ShelvedPlan {
  readonly view: PlanView;
  readonly groups: WorkbenchState["faults"]["groups"];
}

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
  #found: readonly BenchView[];
  #searching = false;
  #searchProblem: string | null = null;
  #benchId: string | null;
  #chosen: Chosen | null = null;
  #faults: readonly Fault[] = [];
  #ticked: ReadonlySet<string> = new Set();
  #walks = 0;
  #run: WalkRun | null = null;
  /** What the last walk has walked: bench and faults. */
  #walked = "";
  readonly followUps: FollowUps;
  readonly flexWatch: FlexWatchDesk;
  /** Every desk; whatever concerns all of them goes through here. */
  readonly #desks: readonly BenchDesk[];
  /** Each section of the state, made when it is told. */
  readonly #sections: { readonly [Name in keyof WorkbenchState]: () => WorkbenchState[Name] } = {
    version: () => this.#version,
    benches: () => ({
      searching: this.#searching,
      found: this.#found,
      chosenId: this.#benchId,
      problem: this.#searchProblem,
    }),
    plans: () => ({
      list: this.#plans.list,
      refused: this.#plans.refused,
      chosen: this.#chosen?.view ?? null,
      folder: this.#plans.folder,
      problem: this.#plans.problem,
    }),
    faults: () => ({
      groups: this.#chosen?.groups ?? [],
      put: this.#chosen ? putView(this.#chosen.plan, this.#faults) : [],
    }),
    checks: () => ({ needed: this.#checksNeeded(), items: this.#checkItems() }),
    hindrances: () => this.#hindrances(),
    walk: () => this.#run?.view ?? noWalk,
    backFeed: () => this.followUps.backFeedView(),
    round: () => this.followUps.roundView(),
    flexWatch: () => this.flexWatch.view(),
  };

  constructor(version: string, benches: BenchSource, plans: PlanShelf, listener: WorkbenchListener) {
    this.#version = version;
    this.#benches = benches;
    this.#plans = plans;
    this.#listener = listener;
    this.#found = benches.always;
    this.#benchId = benches.always[0]?.id ?? null;
    const ground: DeskGround = {
      plan: () => this.#chosen?.plan,
      bench: () => this.#bench(),
      walk: () => this.#run && { run: this.#run, same: this.#walked === this.#whatIsWalked() },
      hindrances: () => this.#hindrances(),
      busy: () => this.#busy(),
      openPort: (bench) => this.#openPort(bench),
      onChanged: (...sections) => this.#tell(...sections),
      onStrip: (batch) => this.#listener.onStrip(batch),
      onEnded: () => this.#afterJob(),
    };
    this.followUps = new FollowUps(ground);
    this.flexWatch = new FlexWatchDesk(ground);
    this.#desks = [this.followUps, this.flexWatch];
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
    return [this.flexWatch.strips()];
  }

  /** Looks for benches again. What was chosen stays chosen while it is there. */
  async refresh(): Promise<CommandAck> {
    if (this.#busy()) return whileBusy;
    if (this.#searching) return done;
    this.#searching = true;
    this.#searchProblem = null;
    this.#tell("benches", "hindrances");
    try {
      this.#found = [...this.#benches.always, ...(await this.#benches.search())];
    } catch (error) {
      this.#searchProblem = `The serial ports could not be searched: ${error instanceof Error ? error.message : error}`;
    }
    this.#searching = false;
    if (!this.#found.some((bench) => bench.id === this.#benchId)) this.#benchId = null;
    this.#tell("benches", "checks", "hindrances", "backFeed", "round");
    return done;
  }

  chooseBench({ benchId }: CommandPayload<"bench:choose">): CommandAck {
    if (this.#busy()) return whileBusy;
    const bench = this.#found.find((one) => one.id === benchId);
    if (!bench) return refuse("no-such-bench", "That bench is not there any more. Look for benches again.");
    if (bench.state !== "ready") return refuse("bench-unusable", `${bench.name} cannot be used: ${bench.detail}`);
    this.#benchId = benchId;
    this.#ticked = new Set();
    this.#tell("benches", "checks", "hindrances", "backFeed", "round");
    return done;
  }

  choosePlan({ planId }: CommandPayload<"plan:choose">): CommandAck {
    if (this.#busy()) return whileBusy;
    const shelved = this.#plans.get(planId);
    if (!shelved) return refuse("no-such-plan", "That plan is not there any more.");
    try {
      this.#chosen = { ...shelved, view: planView(shelved.plan, shelved.summary), groups: faultGroups(shelved.plan) };
    } catch (error) {
      const why = error instanceof Error ? error.message : String(error);
      return refuse("plan-unsolvable", `The expected currents of this plan cannot be worked out: ${why}`);
    }
    this.#faults = [];
    this.#ticked = new Set();
    // What was measured belongs to the plan before.
    this.#run = null;
    for (const desk of this.#desks) desk.reset();
    this.#tell("plans", "faults", "checks", "hindrances", "walk", "backFeed", "round");
    return done;
  }

  async uploadPlan({ fileName, text }: CommandPayload<"plan:upload">): Promise<CommandAck> {
    if (this.#busy()) return whileBusy;
    const added = await this.#plans.add(fileName, text);
    if (!added.ok) return { ...added, code: "bad-plan" };
    const answer = this.choosePlan({ planId: added.id });
    this.#tell("plans");
    return answer;
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
    if (!this.#checkItems().some((item) => item.id === checkId))
      return refuse("no-such-check", "There is no such check.");
    const rest = [...this.#ticked].filter((id) => id !== checkId);
    this.#ticked = new Set(ticked ? [...rest, checkId] : rest);
    this.#tell("checks", "hindrances", "round");
    return done;
  }

  startWalk(): CommandAck {
    if (this.#busy()) return whileBusy;
    const hindrance = this.#hindrances()[0];
    const bench = this.#bench();
    const plan = this.#chosen?.plan;
    if (hindrance !== undefined || !bench || !plan) return refuse("not-ready", hindrance ?? "Not ready.");
    this.#walks += 1;
    this.#walked = this.#whatIsWalked();
    for (const desk of this.#desks) desk.reset();
    const run = new WalkRun({
      number: this.#walks,
      plan,
      benchName: bench.name,
      openPort: () => this.#openPort(bench),
      onView: () => this.#tell("walk"),
      onSamples: (batch) => this.#listener.onSamples(batch),
    });
    this.#run = run;
    this.#tell("walk", "backFeed", "round");
    void run.done.then(() => this.#afterJob());
    return done;
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
  }

  /** Meanwhile somebody may have crept under the vehicle: every walk is checked for anew. */
  #afterJob(): void {
    this.#ticked = new Set();
    this.#tell("checks", "hindrances", "backFeed", "round");
  }

  #busy(): boolean {
    return this.#run?.going === true || this.#desks.some((desk) => desk.going);
  }

  #whatIsWalked(): string {
    return JSON.stringify([this.#benchId, this.#faults]);
  }

  #openPort(bench: BenchView): ReturnType<BenchSource["open"]> {
    const plan = this.#chosen?.plan;
    if (!plan) throw new Error("nothing is opened without a plan");
    return this.#benches.open(bench, { plan, faults: this.#faults });
  }

  #bench(): BenchView | undefined {
    return this.#found.find((bench) => bench.id === this.#benchId);
  }

  #checksNeeded(): boolean {
    return this.#bench()?.kind === "serial";
  }

  #checkItems() {
    const items = this.#chosen ? checkList(this.#chosen.plan) : [];
    return items.map(({ id, text }) => ({ id, text, ticked: this.#ticked.has(id) }));
  }

  #hindrances(): string[] {
    const bench = this.#bench();
    const unticked = this.#checksNeeded() ? this.#checkItems().filter((item) => !item.ticked).length : 0;
    return [
      ...(bench ? [] : ["Choose a bench first."]),
      // A port that is being asked cannot be walked on.
      ...(this.#searching && bench?.kind === "serial" ? ["Looking for benches …"] : []),
      ...(this.#chosen ? [] : ["Choose a plan first."]),
      ...(unticked > 0
        ? [`Tick ${unticked} ${unticked === 1 ? "check" : "checks"} under “Before power goes on”.`]
        : []),
    ];
  }

  #tell(...names: (keyof WorkbenchState)[]): void {
    this.#listener.onChanged(this.#told(names));
  }

  #told(names: readonly (keyof WorkbenchState)[]): Partial<WorkbenchState> {
    // Every job says why it cannot begin now.
    const jobs = names.includes("hindrances") ? jobSections : [];
    return Object.fromEntries([...names, ...jobs].map((name) => [name, this.#sections[name]()]));
  }
}

const jobSections = ["flexWatch"] as const;
const whileBusy = refuse("walking", "Something goes on with the bench. Stop it first.");
