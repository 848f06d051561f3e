/** Things that the board (not the chip) does at a set emulated time: a relay that closes, a comparator that trips. */
export class Timeline {
  readonly #entries: { readonly cycles: number; readonly run: () => void }[] = [];

  #sooner: (() => void) | undefined;

  /** Called when an entry has become the earliest; one listener at a time. */
  onSooner(listener: () => void): void {
    this.#sooner = listener;
  }

  /** Cycle of the earliest entry; infinity when there is none. */
  get nextCycles(): number {
    return this.#entries[0]?.cycles ?? Number.POSITIVE_INFINITY;
  }

  /** Runs something once at the given cycle; the returned function takes it back. Same cycle: first come, first served. */
  at(cycles: number, run: () => void): () => void {
    const entry = { cycles, run };
    const place = this.#entries.findIndex((other) => other.cycles > cycles);
    if (place === -1) this.#entries.push(entry);
    else this.#entries.splice(place, 0, entry);
    if (this.#entries[0] === entry) this.#sooner?.();
    return () => {
      const index = this.#entries.indexOf(entry);
      if (index !== -1) this.#entries.splice(index, 1);
    };
  }

  /** Runs everything that is due by the given cycle. */
  runDue(cycles: number): void {
    for (let first = this.#entries[0]; first !== undefined && first.cycles <= cycles; first = this.#entries[0]) {
      this.#entries.shift();
      first.run();
    }
  }
}
