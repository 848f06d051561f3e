import { spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const here = fileURLToPath(new URL(".", import.meta.url));
const sources = fileURLToPath(new URL("../../firmware-protocol/firmware/src/", import.meta.url));
const sanitised = ["-fsanitize=fuzzer,address,undefined", "-fno-sanitize-recover=all"];

/** The kept inputs: what is on the line to a bench, one input a file. */
export const corpusFolder = fileURLToPath(new URL("../../fixtures/fuzz-corpus/", import.meta.url));

/** Whether this machine has clang with libFuzzer and its sanitizers. */
export function fuzzerFound(): boolean {
  const run = spawnSync("clang", [...sanitised, "-x", "c", "-", "-o", "/dev/null"], {
    input:
      "#include <stddef.h>\n#include <stdint.h>\nint LLVMFuzzerTestOneInput(const uint8_t *d, size_t n) { return 0; }\n",
  });
  return run.status === 0;
}

/** The firmware's reception as a program with sanitizers, built in a folder of its own. */
export class FuzzBuild {
  readonly folder = mkdtempSync(join(tmpdir(), "pinwalk-fuzz-"));
  readonly program = join(this.folder, "reception-fuzz");

  constructor() {
    const flags = ["-std=gnu11", "-O1", "-g", "-Wall", "-Wextra", "-Werror", "-fshort-enums", ...sanitised];
    const units = ["line", "request", "crc16", "words"].map((name) => join(sources, `${name}.c`));
    const compiled = spawnSync(
      "clang",
      [...flags, "-I", sources, "-o", this.program, join(here, "reception-fuzz.c"), ...units],
      { encoding: "utf8" },
    );
    if (compiled.status !== 0) throw new Error(`the fuzz target does not compile:\n${compiled.stderr}`);
  }

  /** What the C side makes of each input, none of them empty: the outcomes of its lines, in order. Throws what a sanitizer or a check reports. */
  outcomesOf(files: readonly string[]): string[][] {
    // Where it looks for leaks it runs an input twice whenever something was allocated, and says everything twice.
    const run = spawnSync(this.program, ["-detect_leaks=0", ...files], {
      encoding: "latin1",
      maxBuffer: 1 << 28,
      env: { ...process.env, FUZZ_SAY: "1" },
      cwd: this.folder,
    });
    if (run.status !== 0) throw new Error(`the fuzz target ended with ${run.status ?? run.signal}:\n${run.stderr}`);
    const blocks = run.stdout.split("end\n");
    if (blocks.pop() !== "") throw new Error("the fuzz target said something after its last input");
    if (blocks.length !== files.length) throw new Error(`${files.length} inputs gave ${blocks.length} answers`);
    return blocks.map((block) => block.split("\n").slice(0, -1));
  }

  /** The same for inputs that are no files yet. */
  outcomesOfBytes(inputs: readonly Uint8Array[]): string[][] {
    const folder = mkdtempSync(join(this.folder, "inputs-"));
    const files = inputs.map((_, at) => join(folder, String(at)));
    for (const [at, bytes] of inputs.entries()) writeFileSync(files[at] ?? "", bytes);
    const outcomes = this.outcomesOf(files);
    rmSync(folder, { recursive: true });
    return outcomes;
  }

  remove(): void {
    rmSync(this.folder, { recursive: true, force: true });
  }
}

/** Paths of the kept inputs, in a fixed order. */
export function corpusFiles(): string[] {
  return readdirSync(corpusFolder)
    .filter((name) => !name.startsWith(".") && name !== "README.md")
    .toSorted()
    .map((name) => join(corpusFolder, name));
}

export function inputOf(file: string): Uint8Array {
  return new Uint8Array(readFileSync(file));
}
