import { createHash } from "node:crypto";
import { mkdir, readdir, readFile, rename, unlink, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { parsePlan } from "../plan/parse-plan.js";
import type { Plan } from "../plan/plan-schema.js";
import type { PlanRefused, PlanSummary, Problem } from "./contract.js";
import { fileNames, linked } from "./plan-files.js";
import { planSummary } from "./plan-view.js";

export interface ShelvedPlan {
  readonly plan: Plan;
  readonly summary: PlanSummary;
  /** Changes with every change of the plan. */
  readonly version: string;
}

export type AddedPlan =
  | { readonly ok: true; readonly id: string }
  | { readonly ok: false; readonly message: string; readonly problems: readonly Problem[] };

/** An own plan as it was when somebody took it up. */
export interface PlanAsOf {
  readonly id: string;
  readonly version: string;
}

interface Refusal {
  readonly ok: false;
  readonly code: string;
  readonly message: string;
}

export type SavedPlan = (PlanAsOf & { readonly ok: true }) | Refusal;
export type RemovedPlan = { readonly ok: true; readonly plan: Plan } | Refusal;

const mostPlans = 500;
const removedFolder = "removed";

/** The plans at hand: samples that came with the program, and a person's own in a folder. */
export class PlanShelf {
  readonly #samplesDir: string;
  readonly #ownDir: string;
  readonly #plans = new Map<string, ShelvedPlan>();
  #refused: PlanRefused[] = [];
  #turn: Promise<unknown> = Promise.resolve();
  /** Why the last plan that was added could not be kept in the folder, if so. */
  problem: string | null = null;

  constructor(samplesDir: string, ownDir: string) {
    this.#samplesDir = samplesDir;
    this.#ownDir = ownDir;
  }

  /** Where added plans are kept. */
  get folder(): string {
    return this.#ownDir;
  }

  get list(): readonly PlanSummary[] {
    return [...this.#plans.values()].map(({ summary }) => summary);
  }

  get refused(): readonly PlanRefused[] {
    return this.#refused;
  }

  get(id: string): ShelvedPlan | undefined {
    return this.#plans.get(id);
  }

  /** Reads both folders; a file that is no plan is kept aside with its problems. */
  async load(): Promise<void> {
    this.#plans.clear();
    this.#refused = [];
    await this.#loadFolder(this.#samplesDir, "sample");
    await this.#loadFolder(this.#ownDir, "own");
  }

  /** Takes in the text of a plan file and keeps it in the own folder under the plan's name. */
  async add(fileName: string, text: string): Promise<AddedPlan> {
    const read = readPlan(text);
    if (!read.ok) return { ok: false, message: `${fileName} is not a plan that can be used:`, problems: read.problems };
    const twin = [...this.#plans.entries()].find(([, { plan }]) => JSON.stringify(plan) === JSON.stringify(read.plan));
    if (twin) return { ok: true, id: twin[0] };
    const added = await this.#inTurn(() => this.#addText(read.plan, text));
    return added.ok ? added : { ...added, problems: [] };
  }

  /** Keeps a plan in a file of its own, whatever other plans say the same. */
  addNew(plan: Plan): Promise<SavedPlan> {
    return this.#inTurn(() => this.#addText(plan, textOf(plan)));
  }

  /** Puts a plan in the place of an own one, unless that one has changed since it was taken up. */
  replace(before: PlanAsOf, plan: Plan): Promise<SavedPlan> {
    return this.#inTurn(async () => {
      const hindrance = await this.#hindrance(before);
      if (hindrance) return hindrance;
      const file = fileOf(before.id);
      const kept = this.#shelve(plan, file, "own");
      this.problem = await this.#write(file, textOf(plan), (draft, path) => rename(draft, path));
      return { ok: true, ...kept };
    });
  }

  /** Takes an own plan off the shelf; its file moves to a folder of its own, so that nothing is ever lost. */
  remove(before: PlanAsOf): Promise<RemovedPlan> {
    return this.#inTurn(async () => {
      const hindrance = await this.#hindrance(before);
      const shelved = this.#plans.get(before.id);
      if (hindrance || !shelved) return hindrance ?? gone;
      const file = fileOf(before.id);
      try {
        await mkdir(join(this.#ownDir, removedFolder), { recursive: true });
        await rename(join(this.#ownDir, file), join(this.#ownDir, removedFolder, `${Date.now()}-${file}`));
      } catch (error) {
        // A plan that could not be kept in the folder has no file.
        if (!isMissing(error))
          return { ok: false, code: "not-removed", message: `The plan could not be removed: ${wordsOf(error)}.` };
      }
      this.#plans.delete(before.id);
      return { ok: true, plan: shelved.plan };
    });
  }

  /** Why an own plan cannot be changed: it is not there, or it is not what whoever changes it has seen. */
  async #hindrance({ id, version }: PlanAsOf): Promise<Refusal | null> {
    const shelved = this.#plans.get(id);
    if (!shelved) return gone;
    if (shelved.summary.origin !== "own")
      return { ok: false, code: "sample", message: "A sample cannot be changed. Save a copy of it." };
    const file = fileOf(id);
    const onDisk = await readFile(join(this.#ownDir, file), "utf8").then(readPlan, (error: unknown) =>
      isMissing(error) ? null : unreadable(error),
    );
    if (onDisk?.ok && versionOf(onDisk.plan) !== shelved.version) this.#shelve(onDisk.plan, file, "own");
    if (onDisk && !(onDisk.ok && versionOf(onDisk.plan) === version)) return changed;
    return shelved.version === version ? null : changed;
  }

  async #addText(plan: Plan, text: string): Promise<SavedPlan> {
    if (this.#plans.size >= mostPlans) {
      const message = `There are ${mostPlans} plans already; remove some from ${this.#ownDir}.`;
      return { ok: false, code: "full", message };
    }
    const wanted = fileNames(plan.name, (name) => this.#taken(name));
    let file = wanted();
    // Somebody may have put a file there by hand since the folder was read.
    this.problem = await this.#write(file, text, async (draft, path) => {
      for (let free = path; !(await linked(draft, free)); free = join(this.#ownDir, file)) file = wanted();
      await unlink(draft);
    });
    return { ok: true, ...this.#shelve(plan, file, "own") };
  }

  async #loadFolder(folder: string, origin: PlanSummary["origin"]): Promise<void> {
    // A folder that is not there holds no plans.
    const names = await readdir(folder).catch(() => []);
    for (const file of names
      .filter((name) => name.endsWith(".json"))
      .sort()
      .slice(0, mostPlans)) {
      const read = await readFile(join(folder, file), "utf8").then(readPlan, unreadable);
      if (read.ok) this.#shelve(read.plan, file, origin);
      else this.#refused.push({ fileName: file, problems: read.problems });
    }
  }

  #shelve(plan: Plan, file: string, origin: PlanSummary["origin"]): PlanAsOf {
    const id = `${origin}:${file}`;
    const version = versionOf(plan);
    this.#plans.set(id, { plan, summary: planSummary(plan, id, origin), version });
    return { id, version };
  }

  #taken(file: string): boolean {
    return this.#plans.has(`own:${file}`) || this.#refused.some((refused) => refused.fileName === file);
  }

  /** Written beside its place, so that no half file is ever read, and then put there. */
  async #write(
    file: string,
    text: string,
    put: (draft: string, path: string) => Promise<void>,
  ): Promise<string | null> {
    const path = join(this.#ownDir, file);
    try {
      await mkdir(this.#ownDir, { recursive: true });
      const draft = `${path}.${process.pid}.new`;
      await writeFile(draft, text, { flag: "wx" });
      await put(draft, path);
      return null;
    } catch (error) {
      return `The plan can be used until Pinwalk ends, but it could not be kept in ${this.#ownDir} (${wordsOf(error)}).`;
    }
  }

  /** One change of the folder after another. */
  #inTurn<T>(change: () => Promise<T>): Promise<T> {
    const done = this.#turn.then(change);
    this.#turn = done.catch(() => undefined);
    return done;
  }
}

const gone: Refusal = { ok: false, code: "no-such-plan", message: "That plan is not there any more." };
const changed: Refusal = {
  ok: false,
  code: "changed",
  message:
    "Somebody else has changed this plan since you took it up. Save yours as a new plan, or throw your edits away under “All plans”.",
};

const textOf = (plan: Plan) => `${JSON.stringify(plan, null, 2)}\n`;
const versionOf = (plan: Plan) => createHash("sha256").update(JSON.stringify(plan)).digest("hex").slice(0, 16);
const fileOf = (id: string) => id.slice("own:".length);
const wordsOf = (error: unknown) => (error instanceof Error ? error.message : String(error));
const isMissing = (error: unknown) => error instanceof Error && "code" in error && error.code === "ENOENT";

type ReadPlan =
  | { readonly ok: true; readonly plan: Plan }
  | { readonly ok: false; readonly problems: readonly Problem[] };

function readPlan(text: string): ReadPlan {
  try {
    return parsePlan(JSON.parse(text));
  } catch (error) {
    return { ok: false, problems: [{ path: "", message: `The file is not JSON: ${wordsOf(error)}` }] };
  }
}

function unreadable(error: unknown): ReadPlan {
  return { ok: false, problems: [{ path: "", message: `The file cannot be read: ${String(error)}` }] };
}
