import type { BenchPort } from "../../bench/port.js";
import { portWith } from "../../bench/port-with.js";
import { WalkTroubleError } from "../../procedures/walk-trouble.js";
import type { BenchSource } from "../bench-source.js";
import type { BenchView } from "../contract.js";

/** Which bay has which serial port in use, so that no two reach for one bench. The virtual bench is everybody's own. */
export class BenchClaims {
  readonly #holders = new Map<string, number>();
  /** What was found at a port before a bay took it, for the others' lists meanwhile. */
  readonly #lastSeen = new Map<string, BenchView>();
  /** Of every bay; a port that is being asked cannot be opened. */
  #searching: Promise<unknown> = Promise.resolve();
  readonly #onChanged: () => void;

  constructor(onChanged: () => void) {
    this.#onChanged = onChanged;
  }

  /** The benches as one bay may use them. */
  sourceOf(bay: number, source: BenchSource): BenchSource {
    return {
      always: source.always,
      ...(source.board === undefined ? {} : { board: source.board }),
      usedElsewhere: (bench) => {
        const holder = this.#holders.get(bench.path);
        return holder === undefined || holder === bay ? undefined : usedWords(bench.name, holder);
      },
      search: () => this.#search(source),
      open: (bench, vehicle) => this.#claimed(bay, bench, () => source.open(bench, vehicle)),
      openBare: (bench) => this.#claimed(bay, bench, () => source.openBare(bench)),
    };
  }

  async #search(source: BenchSource): Promise<readonly BenchView[]> {
    // One after another: two that ask the same port would each find it busy.
    const before = this.#searching;
    const search = before
      .catch(() => undefined)
      .then(async () => {
        const held = new Set(this.#holders.keys());
        const found = await source.search(held);
        for (const bench of found) this.#lastSeen.set(bench.path, bench);
        const kept = [...held].flatMap((path) => {
          const bench = this.#lastSeen.get(path);
          return bench ? [bench] : [];
        });
        return [...found, ...kept];
      });
    this.#searching = search.catch(() => undefined);
    return await search;
  }

  async #claimed<Port extends BenchPort>(bay: number, bench: BenchView, open: () => Promise<Port>): Promise<Port> {
    if (bench.kind === "virtual") return await open();
    await this.#searching;
    const holder = this.#holders.get(bench.path);
    if (holder !== undefined) throw new WalkTroubleError({ code: "in-use", message: usedWords(bench.name, holder) });
    this.#holders.set(bench.path, bay);
    this.#onChanged();
    let held = true;
    // A port may be closed twice; the second time it may be another bay's.
    const release = () => {
      if (!held) return;
      held = false;
      this.#holders.delete(bench.path);
      this.#onChanged();
    };
    try {
      const port = await open();
      return portWith<BenchPort>(port, {
        // Whoever opens a port closes it, lost or not.
        close: async () => {
          await port.close();
          release();
        },
      }) as Port;
    } catch (error) {
      release();
      throw error;
    }
  }
}

const usedWords = (name: string, bay: number): string => `${name} is in use in bay ${bay}.`;
