import type { Clock, Timer } from "../../port.js";

interface Entry {
  readonly atMs: number;
  readonly run: () => void;
}

/** The clock of a virtual bench on the host's side: timers that wait for emulated time, whoever makes it pass. */
export class EmulatedClock implements Clock {
  readonly #now: () => number;
  readonly #sooner: () => void;
  readonly #entries: Entry[] = [];

  /** `now` says how far emulated time has come; `sooner` is called when a timer has become the next one due. */
  constructor(now: () => number, sooner: () => void) {
    this.#now = now;
    this.#sooner = sooner;
  }

  /** When the next timer is due; undefined when none waits. */
  get nextDueMs(): number | undefined {
    return this.#entries[0]?.atMs;
  }

  nowMs(): number {
    return this.#now();
  }

  after(delayMs: number, run: () => void): Timer {
    const entry = { atMs: this.#now() + Math.max(0, delayMs), run };
    const place = this.#entries.findIndex((other) => other.atMs > entry.atMs);
    if (place === -1) this.#entries.push(entry);
    else this.#entries.splice(place, 0, entry);
    if (this.#entries[0] === entry) this.#sooner();
    return {
      cancel: () => {
        const index = this.#entries.indexOf(entry);
        if (index !== -1) this.#entries.splice(index, 1);
      },
    };
  }

  /** Runs every timer that is due now, earliest first; one that a timer adds waits for the next time. */
  runDue(): void {
    const nowMs = this.#now();
    const due = this.#entries.filter((entry) => entry.atMs <= nowMs);
    for (const entry of due) {
      const index = this.#entries.indexOf(entry);
      if (index === -1) continue;
      this.#entries.splice(index, 1);
      entry.run();
    }
  }

  /** Drops every timer. */
  clear(): void {
    this.#entries.length = 0;
  }
}
