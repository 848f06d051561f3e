/** A record that does not hold, named so that a person finds it. */
export interface BadRecord {
  readonly signer: string | null;
  readonly number: number | null;
  readonly hash: string | null;
  readonly serial: string | null;
  readonly problem: string;
}

/** Something else that is not as it was written: a page of the file, a table, the file's end. */
export interface VerifyProblem {
  readonly where: string;
  readonly problem: string;
}

/** One signer's records as far as they were seen. `missing` are numbers in between that are not there. */
export interface CheckedChain {
  readonly signer: string;
  readonly own: boolean;
  readonly records: number;
  readonly lastNumber: number;
  readonly lastHash: string;
  readonly missing: number;
}

/** What verifying found. `holds` is true only if every record and every byte is as it was written. */
export interface VerifyReport {
  readonly what: "store" | "export";
  readonly path: string;
  readonly holds: boolean;
  /** Records looked at. */
  readonly records: number;
  readonly chains: readonly CheckedChain[];
  /** The first record that does not hold: own chains first, by number. */
  readonly firstBad: BadRecord | null;
  /** All of them, up to a bound. */
  readonly bad: readonly BadRecord[];
  readonly badCount: number;
  readonly problems: readonly VerifyProblem[];
  /** What a person should know but what is no damage. */
  readonly remarks: readonly string[];
}

export interface VerifyOptions {
  /** A hash from a printed certificate: it must be in the store. */
  readonly has?: string;
  /** Hears how many records were looked at, of how many. */
  readonly onProgress?: (done: number, all: number) => void;
}

const mostListed = 100;

/** Gathers what a check finds, chain by chain and record by record. */
export class VerifyNotes {
  readonly #chains = new Map<
    string,
    { own: boolean; records: number; number: number; hash: string; missing: number }
  >();
  readonly #bad: BadRecord[] = [];
  readonly #problems: VerifyProblem[] = [];
  readonly #remarks: string[] = [];
  #badCount = 0;
  #records = 0;

  get records(): number {
    return this.#records;
  }

  bad(record: BadRecord): void {
    this.#badCount++;
    if (this.#bad.length < mostListed) this.#bad.push(record);
  }

  problem(where: string, problem: string): void {
    if (this.#problems.length < mostListed) this.#problems.push({ where, problem });
  }

  remark(text: string): void {
    if (!this.#remarks.includes(text)) this.#remarks.push(text);
  }

  /** Counts a record that was looked at, whether it holds or not. */
  looked(): void {
    this.#records++;
  }

  /** The record of this signer that was noted last. */
  last(signer: string): { readonly number: number; readonly hash: string } | undefined {
    return this.#chains.get(signer);
  }

  /** Notes that the signer's chain goes on with this record. */
  joined(signer: string, number: number, hash: string, own: boolean): void {
    const before = this.#chains.get(signer);
    const gap = Math.max(0, number - (before?.number ?? 0) - 1);
    this.#chains.set(signer, {
      own,
      records: (before?.records ?? 0) + 1,
      number,
      hash,
      missing: (before?.missing ?? 0) + gap,
    });
  }

  report(what: VerifyReport["what"], path: string): VerifyReport {
    return {
      what,
      path,
      holds: this.#badCount === 0 && this.#problems.length === 0,
      records: this.#records,
      chains: [...this.#chains].map(([signer, { own, records, number, hash, missing }]) => ({
        signer,
        own,
        records,
        lastNumber: number,
        lastHash: hash,
        missing,
      })),
      firstBad: this.#bad[0] ?? null,
      bad: this.#bad,
      badCount: this.#badCount,
      problems: this.#problems,
      remarks: this.#remarks,
    };
  }
}
