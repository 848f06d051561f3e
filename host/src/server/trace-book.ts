import type { TraceBatch } from "./contract.js";

interface Columns {
  readonly atMs: number[];
  readonly amps: number[];
  readonly volts: number[];
}

/** More than the longest drive gives at the bench's own rate; a bench that says more is not believed. */
const mostSamplesPerPin = 20_000;

/**
 * The samples of one walk: those that were sent, for whoever joins late, and those that nobody has been sent yet. A late joiner
 * gets each once.
 */
export class TraceBook {
  readonly #walkNumber: number;
  readonly #sent = new Map<string, Columns>();
  #unsent = new Map<string, Columns>();

  constructor(walkNumber: number) {
    this.#walkNumber = walkNumber;
  }

  /** Milliseconds since the start of the drive, amps, volts at the pin. */
  add(pin: string, atMs: number, amps: number, volts: number): void {
    const columns = columnsOf(this.#unsent, pin);
    if ((this.#sent.get(pin)?.atMs.length ?? 0) + columns.atMs.length >= mostSamplesPerPin) return;
    columns.atMs.push(atMs);
    columns.amps.push(amps);
    columns.volts.push(volts);
  }

  sent(): TraceBatch {
    return { walkNumber: this.#walkNumber, pins: Object.fromEntries(this.#sent) };
  }

  /** What came since the last call; undefined if nothing did. */
  takeUnsent(): TraceBatch | undefined {
    if (this.#unsent.size === 0) return undefined;
    const batch = { walkNumber: this.#walkNumber, pins: Object.fromEntries(this.#unsent) };
    for (const [pin, { atMs, amps, volts }] of this.#unsent) {
      const kept = columnsOf(this.#sent, pin);
      for (let index = 0; index < atMs.length; index += 1) {
        kept.atMs.push(atMs[index] ?? 0);
        kept.amps.push(amps[index] ?? 0);
        kept.volts.push(volts[index] ?? 0);
      }
    }
    this.#unsent = new Map();
    return batch;
  }
}

function columnsOf(book: Map<string, Columns>, pin: string): Columns {
  const columns = book.get(pin) ?? { atMs: [], amps: [], volts: [] };
  book.set(pin, columns);
  return columns;
}
