import type { BenchSource } from "../bench-source.js";
import type { RecordsDesk } from "../records/records-desk.js";
import type { StopReason } from "../walk-fold.js";
import type { Workbench } from "../workbench.js";
import type { BaysView } from "./bays-contract.js";
import { BenchClaims } from "./bench-claims.js";

/** One workbench with what belongs to it alone. */
export interface Bay {
  readonly number: number;
  readonly workbench: Workbench;
  readonly records: RecordsDesk;
}

/** A bay, and when it has read what was left unfinished in it. */
interface OpenedBay extends Bay {
  readonly ready: Promise<void>;
}

/** More benches than one computer and one shop's bay doors usually have. */
const mostBays = 4;

export interface BaysOptions {
  /** Makes a bay; `benches` are those that it may use. */
  readonly make: (number: number, claim: (source: BenchSource) => BenchSource) => Bay;
  /** What every browser knows of the bays is not what it was. */
  readonly onView: (view: BaysView) => void;
  /** Whether this person is the one who controls. */
  readonly controls: (personId: string) => boolean;
  /** How long a job goes on in a bay that no page, or none of who controls, shows any more. */
  readonly graceMs: number;
}

/** Several benches at once: each bay has its own bench, plan and walk. The first is there from the start, the others when asked for. */
export class Bays {
  readonly #options: BaysOptions;
  readonly #claims = new BenchClaims(() => this.#benchesChanged());
  readonly #bays = new Map<number, OpenedBay>();
  readonly #pages = new Set<{ readonly number: number; readonly personId: string }>();
  readonly #timers = new Set<NodeJS.Timeout>();
  #told = "";
  #spreading = false;

  constructor(options: BaysOptions) {
    this.#options = options;
  }

  get all(): readonly Bay[] {
    return [...this.#bays.values()];
  }

  /** The bay of that number, made when it is not there yet; undefined for one that there cannot be. */
  bay(number: number): OpenedBay | undefined {
    const there = this.#bays.get(number);
    if (there || !Number.isInteger(number) || number < 1 || number > mostBays) return there;
    const made = this.#options.make(number, (source) => this.#claims.sourceOf(number, source));
    // A search never rejects; what it finds, every page of the bay is told.
    const ready = made.workbench.load().then(() => void made.workbench.refresh());
    const bay = { ...made, ready };
    this.#bays.set(number, bay);
    this.#tell();
    return bay;
  }

  /** One that is there already. */
  get(number: number): Bay | undefined {
    return this.#bays.get(number);
  }

  view(): BaysView {
    const list = this.all.map(({ number, workbench }) => ({ number, ...workbench.inBrief }));
    list.sort((one, other) => one.number - other.number);
    const free = Array.from({ length: mostBays }, (_, index) => index + 1).find((number) => !this.#bays.has(number));
    return { list, next: free ?? null };
  }

  /** Something has changed in a bay; plans are everybody's. */
  changed(number: number, plans: boolean): void {
    if (plans && !this.#spreading) {
      this.#spreading = true;
      for (const bay of this.all) if (bay.number !== number) bay.workbench.plansChanged();
      this.#spreading = false;
    }
    this.#tell();
  }

  /** Plans were saved or deleted. */
  plansChanged(): void {
    for (const { workbench } of this.all) workbench.plansChanged();
  }

  #tell(): void {
    const view = this.view();
    const text = JSON.stringify(view);
    if (text === this.#told) return;
    this.#told = text;
    this.#options.onView(view);
  }

  /**
   * A page of this person shows this bay; call what is returned when it does so no more. After the grace a drive ends that
   * nobody sees, or that whoever controls has left for another bay: a watcher's page keeps nothing lit.
   */
  shown(bay: Bay, personId: string): () => void {
    const { number } = bay;
    const page = { number, personId };
    this.#pages.add(page);
    return () => {
      this.#pages.delete(page);
      const timer = setTimeout(() => {
        this.#timers.delete(timer);
        const watched = [...this.#pages].filter((other) => other.number === number);
        if (watched.length === 0) bay.workbench.stopWalk("nobody-left");
        else if (this.#options.controls(personId) && !watched.some((other) => other.personId === personId))
          bay.workbench.stopWalk("controller-lost");
      }, this.#options.graceMs);
      this.#timers.add(timer);
    };
  }

  /** A walk goes on in other hands; what one person's look keeps driven does not. */
  handedOver(): void {
    for (const { workbench } of this.all) {
      workbench.keepDriven.stop("handed-over");
      workbench.followUps.handedOver();
    }
  }

  stopAll(reason: StopReason): void {
    for (const { workbench } of this.all) workbench.stopWalk(reason);
  }

  /** Ends whatever goes on; settles when everything is off. */
  async close(): Promise<void> {
    for (const timer of this.#timers) clearTimeout(timer);
    this.stopAll("closing");
    // One that fails to end must not keep the others from being waited for.
    await Promise.allSettled(this.all.map(({ workbench }) => workbench.close()));
    for (const { records } of this.all) await records.close();
  }

  #benchesChanged(): void {
    for (const { workbench } of this.all) workbench.benchesChanged();
  }
}
