import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const firmware = fileURLToPath(new URL("../../firmware-protocol/firmware/", import.meta.url));
const runner = fileURLToPath(new URL("./host-runner.c", import.meta.url));
const chipFree = ["crc16", "line", "request", "sentence", "settling", "temperature", "window_line", "words"];

export const hostCompiler = ["cc", "gcc", "clang"].find((name) => spawnSync(name, ["--version"]).status === 0);

/** The firmware's chip-free C, compiled for this machine with its undefined behaviour made fatal. */
export class HostRunner {
  readonly #folder = mkdtempSync(join(tmpdir(), "pinwalk-c-"));
  readonly #program = join(this.#folder, "host-runner");

  constructor() {
    const flags = ["-std=gnu11", "-Wall", "-Wextra", "-Werror", "-O1", "-g", "-fshort-enums", "-funsigned-char"];
    const checks = ["-fsanitize=undefined", "-fno-sanitize-recover=all"];
    const sources = chipFree.map((name) => join(firmware, "src", `${name}.c`));
    const compiled = spawnSync(
      hostCompiler ?? "cc",
      [...flags, ...checks, "-I", join(firmware, "src"), "-o", this.#program, runner, ...sources],
      { encoding: "utf8" },
    );
    if (compiled.status !== 0) throw new Error(`The firmware's C does not compile on the host:\n${compiled.stderr}`);
  }

  /** One answer for each question. */
  ask(questions: readonly string[]): string[] {
    const run = spawnSync(this.#program, {
      input: `${questions.join("\n")}\n`,
      encoding: "latin1",
      maxBuffer: 1 << 26,
    });
    if (run.status !== 0) throw new Error(`host-runner ended with ${run.status ?? run.signal}: ${run.stderr}`);
    return run.stdout.split("\n").slice(0, -1);
  }

  remove(): void {
    rmSync(this.#folder, { recursive: true, force: true });
  }
}

/** The question that feeds these bytes and a line feed to the line reader. */
export function bytesQuestion(bytes: Uint8Array): string {
  return `bytes ${Buffer.from(bytes).toString("hex")}`;
}
