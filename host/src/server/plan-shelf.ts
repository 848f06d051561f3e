import { mkdir, readdir, readFile, rename, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { parsePlan } from "../plan/parse-plan.js";
import type { Plan } from "../plan/plan-schema.js";
import type { PlanRefused, PlanSummary, Problem } from "./contract.js";
import { planSummary } from "./plan-view.js";

export interface ShelvedPlan {
  readonly plan: Plan;
  readonly summary: PlanSummary;
}

export type AddedPlan =
  | { readonly ok: true; readonly id: string }
  | { readonly ok: false; readonly message: string; readonly problems: readonly Problem[] };

const mostPlans = 500;

/** The plans at hand: samples that came with the program, and a person's own in a folder. */
export class PlanShelf {
  readonly #samplesDir: string;
  readonly #ownDir: string;
  readonly #plans = new Map<string, ShelvedPlan>();
  #refused: PlanRefused[] = [];
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
    if (this.#plans.size >= mostPlans)
      return {
        ok: false,
        message: `There are ${mostPlans} plans already; remove some from ${this.#ownDir}.`,
        problems: [],
      };
    const file = this.#freeFileName(read.plan.name);
    this.#shelve(read.plan, file, "own");
    this.problem = await this.#keep(file, text);
    return { ok: true, id: `own:${file}` };
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

  #shelve(plan: Plan, file: string, origin: PlanSummary["origin"]): void {
    const id = `${origin}:${file}`;
    this.#plans.set(id, { plan, summary: planSummary(plan, id, origin) });
  }

  #freeFileName(planName: string): string {
    const slug =
      planName
        .toLowerCase()
        .replaceAll(/[^a-z0-9]+/g, "-")
        .replaceAll(/^-|-$/g, "")
        .slice(0, 60) || "plan";
    let file = `${slug}.json`;
    const taken = (name: string) =>
      this.#plans.has(`own:${name}`) || this.#refused.some((refused) => refused.fileName === name);
    for (let count = 2; taken(file); count += 1) file = `${slug}-${count}.json`;
    return file;
  }

  /** Written beside its place and moved there, so that no half file is ever read. Never overwrites a file. */
  async #keep(file: string, text: string): Promise<string | null> {
    const path = join(this.#ownDir, file);
    try {
      await mkdir(this.#ownDir, { recursive: true });
      const draft = `${path}.${process.pid}.new`;
      await writeFile(draft, text, { flag: "wx" });
      await rename(draft, path);
      return null;
    } catch (error) {
      const why = error instanceof Error ? error.message : String(error);
      return `The plan can be used until Pinwalk ends, but it could not be kept in ${this.#ownDir} (${why}).`;
    }
  }
}

type ReadPlan =
  | { readonly ok: true; readonly plan: Plan }
  | { readonly ok: false; readonly problems: readonly Problem[] };

function readPlan(text: string): ReadPlan {
  try {
    return parsePlan(JSON.parse(text));
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    return { ok: false, problems: [{ path: "", message: `The file is not JSON: ${why}` }] };
  }
}

function unreadable(error: unknown): ReadPlan {
  return { ok: false, problems: [{ path: "", message: `The file cannot be read: ${String(error)}` }] };
}
