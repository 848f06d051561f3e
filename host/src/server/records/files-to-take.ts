import { randomBytes } from "node:crypto";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";

/** A file that was made for a browser to fetch. */
export interface FileToTake {
  readonly path: string;
  /** What it is called where it is saved. */
  readonly name: string;
}

/** Long enough to press the link, short enough not to fill a disk. */
const keptMs = 15 * 60_000;
const mostKept = 6;

/** Files made for browsers, in a folder that is gone with the server; each is kept for a quarter of an hour, and the last few alone. */
export class FilesToTake {
  #folder: Promise<string> | null = null;
  readonly #files = new Map<string, FileToTake & { readonly timer: NodeJS.Timeout }>();

  /** Where a file of this name can be made. */
  async place(name: string): Promise<string> {
    this.#folder ??= mkdtemp(join(tmpdir(), "pinwalk-files-"));
    return join(await this.#folder, `${randomBytes(8).toString("hex")}-${name}`);
  }

  /** The file is whole; gives the word that fetches it. */
  offer(file: FileToTake): string {
    const token = randomBytes(16).toString("hex");
    const timer = setTimeout(() => this.#drop(token), keptMs);
    timer.unref();
    this.#files.set(token, { ...file, timer });
    const [oldest] = this.#files.keys();
    if (oldest !== undefined && this.#files.size > mostKept) this.#drop(oldest);
    return token;
  }

  get(token: string): FileToTake | undefined {
    return this.#files.get(token);
  }

  async close(): Promise<void> {
    for (const { timer } of this.#files.values()) clearTimeout(timer);
    this.#files.clear();
    if (this.#folder) await rm(await this.#folder, { recursive: true, force: true });
  }

  #drop(token: string): void {
    const file = this.#files.get(token);
    if (!file) return;
    clearTimeout(file.timer);
    this.#files.delete(token);
    void rm(file.path, { force: true });
  }
}
