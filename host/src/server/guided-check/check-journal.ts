import { mkdir, open, readdir, readFile, rename, rm, stat } from "node:fs/promises";
import { join } from "node:path";
import { type LeftCheck, leftCheckSchema } from "./left-check.js";

/** Unfinished checks at most; the one that has lain longest gives way to a further one. */
const mostChecks = 12;
/** A check of thirteen pins with every answer stays far below this; a larger file is not one of ours. */
const mostBytes = 1_000_000;
const ending = ".check.json";

/** Keeps checks that are not finished, each in a file of its own beside the record store. One write at a time. */
export class CheckJournal {
  readonly #folder: string;
  readonly #checks = new Map<string, LeftCheck>();
  #work: Promise<void> = Promise.resolve();
  /** Why the last check could not be written, if so. */
  problem: string | null = null;

  constructor(folder: string) {
    this.#folder = folder;
  }

  /** Newest first. */
  get all(): readonly LeftCheck[] {
    return [...this.#checks.values()].sort((one, other) => other.savedAt.localeCompare(one.savedAt));
  }

  get(id: string): LeftCheck | undefined {
    return this.#checks.get(id);
  }

  /** Reads what is there. A file that is no check of this format is passed over and left as it is. */
  async load(): Promise<void> {
    const names = await readdir(this.#folder).catch(() => []);
    for (const name of names.filter((one) => one.endsWith(ending)).sort()) {
      const check = await readCheck(join(this.#folder, name));
      if (check && `${check.id}${ending}` === name && this.#checks.size < mostChecks) this.#checks.set(check.id, check);
    }
  }

  /** Remembers the check and writes it; settles when it is on the disk, or `problem` says why it is not. */
  save(check: LeftCheck): Promise<void> {
    this.#checks.set(check.id, check);
    const [oldest] = this.all.slice(mostChecks);
    if (oldest) void this.remove(oldest.id);
    return this.#next(async () => {
      // A later state of the same check waits already: that one is written.
      if (this.#checks.get(check.id) === check) await this.#write(check);
    });
  }

  remove(id: string): Promise<void> {
    this.#checks.delete(id);
    return this.#next(() => rm(this.#path(id), { force: true }));
  }

  /** Settles when everything is written. */
  idle(): Promise<void> {
    return this.#work;
  }

  #next(work: () => Promise<void>): Promise<void> {
    this.#work = this.#work.then(work).then(
      () => {
        this.problem = null;
      },
      (error: unknown) => {
        const why = error instanceof Error ? error.message : String(error);
        this.problem = `What is measured cannot be stored in ${this.#folder} (${why}). It is lost when Pinwalk ends before a record is kept.`;
      },
    );
    return this.#work;
  }

  /** Written beside its place, forced to the disk, and moved there: whoever reads finds the old state or the new one. */
  async #write(check: LeftCheck): Promise<void> {
    await mkdir(this.#folder, { recursive: true });
    const draft = `${this.#path(check.id)}.${process.pid}.new`;
    try {
      const file = await open(draft, "w", 0o600);
      try {
        await file.writeFile(JSON.stringify(check));
        await file.sync();
      } finally {
        await file.close();
      }
      await rename(draft, this.#path(check.id));
    } catch (error) {
      await rm(draft, { force: true });
      throw error;
    }
  }

  #path(id: string): string {
    return join(this.#folder, `${id}${ending}`);
  }
}

async function readCheck(path: string): Promise<LeftCheck | undefined> {
  try {
    if ((await stat(path)).size > mostBytes) return undefined;
    const read = leftCheckSchema.safeParse(JSON.parse(await readFile(path, "utf8")));
    return read.success ? read.data : undefined;
  } catch {
    return undefined;
  }
}
