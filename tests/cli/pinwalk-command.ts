import { type ChildProcess, spawn } from "node:child_process";
import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

/** The compiled command. */
export const commandEntry = fileURLToPath(import.meta.resolve("@pinwalk/host/cli/main.js"));

export const hatchback = fileURLToPath(new URL("../../fixtures/plans/hatchback-round-6.json", import.meta.url));
export const umbilical = fileURLToPath(
  new URL("../../fixtures/plans/umbilical-blade-7-to-round-6.json", import.meta.url),
);

export interface Ended {
  readonly code: number | null;
  readonly signal: NodeJS.Signals | null;
  readonly out: string;
  readonly err: string;
}

/** The compiled command in a process of its own, as a shell would run it. */
export class PinwalkCommand {
  readonly ended: Promise<Ended>;
  readonly #child: ChildProcess;
  #out = "";
  #err = "";
  #listeners: (() => void)[] = [];

  constructor(args: readonly string[]) {
    this.#child = spawn(process.execPath, [commandEntry, ...args], { stdio: ["ignore", "pipe", "pipe"] });
    this.#child.stdout?.setEncoding("utf8").on("data", (text: string) => {
      this.#out += text;
    });
    this.#child.stderr?.setEncoding("utf8").on("data", (text: string) => {
      this.#err += text;
      for (const listener of this.#listeners) listener();
    });
    this.ended = new Promise((resolve, reject) => {
      this.#child.on("error", reject);
      this.#child.on("close", (code, signal) => {
        resolve({ code, signal, out: this.#out, err: this.#err });
        for (const listener of this.#listeners) listener();
      });
    });
  }

  /** Waits until stderr has said this, and gives the match; rejects when the command ends without. */
  async said(pattern: RegExp): Promise<RegExpExecArray> {
    let over = false;
    this.ended.then(
      () => {
        over = true;
      },
      () => {
        over = true;
      },
    );
    return await new Promise((resolve, reject) => {
      const look = (): void => {
        const found = pattern.exec(this.#err);
        if (found) resolve(found);
        else if (over || this.#child.exitCode !== null) reject(new Error(`ended without ${pattern}: ${this.#err}`));
      };
      this.#listeners.push(look);
      look();
    });
  }

  signal(name: NodeJS.Signals): void {
    this.#child.kill(name);
  }

  /** The reader of stdout goes away, as `| head` does. */
  closeStdout(): void {
    this.#child.stdout?.destroy();
  }
}

/** Runs the command to its end. */
export async function pinwalk(...args: readonly string[]): Promise<Ended> {
  return await new PinwalkCommand(args).ended;
}

/** A folder of its own for what a test writes. */
export function scratchFolder(): string {
  return mkdtempSync(join(tmpdir(), "pinwalk-cli-"));
}

/** Writes a document (or raw text) into a scratch folder and gives its path. */
export function scratchFile(name: string, content: unknown): string {
  const path = join(scratchFolder(), name);
  writeFileSync(path, typeof content === "string" ? content : JSON.stringify(content));
  return path;
}
