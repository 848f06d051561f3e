import type { BenchSource } from "./bench-source.js";
import type { BenchesView, BenchView } from "./contract.js";

/** The benches that were found, with what is known of each, and the one that is chosen. */
export class BenchList {
  readonly #source: BenchSource;
  #found: readonly BenchView[];
  #chosenId: string | null;
  #searching = false;
  #problem: string | null = null;

  constructor(source: BenchSource) {
    this.#source = source;
    this.#found = source.always;
    this.#chosenId = source.always[0]?.id ?? null;
  }

  get searching(): boolean {
    return this.#searching;
  }

  /** One that another bay has in use is busy here, for as long as that lasts. */
  get found(): readonly BenchView[] {
    return this.#found.map((bench) => {
      const usedBy = this.#source.usedElsewhere?.(bench);
      return usedBy === undefined ? bench : { ...bench, state: "busy", detail: usedBy };
    });
  }

  get chosenId(): string | null {
    return this.#chosenId;
  }

  get chosen(): BenchView | undefined {
    return this.found.find(({ id }) => id === this.#chosenId);
  }

  get view(): BenchesView {
    return { searching: this.#searching, found: this.found, chosenId: this.#chosenId, problem: this.#problem };
  }

  choose(id: string): void {
    this.#chosenId = id;
  }

  /** Looks for benches again; never rejects. What was chosen stays chosen while it is there. */
  async search(onBegun: () => void): Promise<void> {
    this.#searching = true;
    this.#problem = null;
    onBegun();
    try {
      const searched = await this.#source.search();
      // What a bench has said of itself while this went on is kept.
      const known = new Map(this.#found.map((bench) => [bench.id, bench.facts ?? null]));
      const always = this.#source.always.map((bench) => withFacts(bench, known.get(bench.id) ?? null));
      this.#found = [...always, ...searched];
    } catch (error) {
      this.#problem = `The serial ports could not be searched: ${error instanceof Error ? error.message : error}`;
    }
    this.#searching = false;
    if (!this.#found.some(({ id }) => id === this.#chosenId)) this.#chosenId = null;
  }

  /** A bench has said this of itself; null when what it said holds no more. */
  learn(id: string, facts: BenchView["facts"] | null): void {
    this.#found = this.#found.map((bench) => (bench.id === id ? withFacts(bench, facts) : bench));
  }
}

function withFacts({ facts: _before, ...bench }: BenchView, facts: BenchView["facts"] | null): BenchView {
  return facts ? { ...bench, facts } : bench;
}
