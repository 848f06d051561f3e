import type { TraceBatch } from "./contract.js";

interface Columns {
  readonly atMs: number[];
  readonly amps: number[];
  readonly volts: number[];
}

/** More than the longest drive gives at the bench's own rate; a bench that says more is not believed. */
const mostSamplesPerPin = 20_000;

/** All samples of one walk for whoever joins late, and those that nobody has been sent yet. */
export class TraceBook {
  readonly #walkNumber: number;
  readonly #all = new Map<string, Columns>();
  #unsent = new Map<string, Columns>();

  constructor(walkNumber: number) {
    this.#walkNumber = walkNumber;
  }

  /** Milliseconds since the start of the drive, amps, volts at the pin. */
  add(pin: string, atMs: number, amps: number, volts: number): void {
    const kept = columnsOf(this.#all, pin);
    if (kept.atMs.length >= mostSamplesPerPin) return;
    for (const columns of [kept, columnsOf(this.#unsent, pin)]) {
      columns.atMs.push(atMs);
      columns.amps.push(amps);
      columns.volts.push(volts);
    }
  }

  whole(): TraceBatch {
    return { walkNumber: this.#walkNumber, pins: Object.fromEntries(this.#all) };
  }

  /** What came since the last call; undefined if nothing did. */
  takeUnsent(): TraceBatch | undefined {
    if (this.#unsent.size === 0) return undefined;
    const batch = { walkNumber: this.#walkNumber, pins: Object.fromEntries(this.#unsent) };
    this.#unsent = new Map();
    return batch;
  }
}

function columnsOf(book: Map<string, Columns>, pin: string): Columns {
  const columns = book.get(pin) ?? { atMs: [], amps: [], volts: [] };
  book.set(pin, columns);
  return columns;
}
