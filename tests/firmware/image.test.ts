import { spawnSync } from "node:child_process";
import { cpSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { leftOut } from "./left-out.js";

const source = fileURLToPath(new URL("../../firmware-protocol/firmware/", import.meta.url));
const found = ["avr-gcc", "avr-size", "make"].every((tool) => spawnSync(tool, ["--version"]).status === 0);
const skip = leftOut(found, "gcc-avr, binutils-avr, avr-libc and make", "rebuilding the firmware image byte for byte");

function make(folder: string, target: string): string {
  const run = spawnSync("make", ["--no-print-directory", "-C", folder, target], { encoding: "utf8" });
  if (run.status !== 0) throw new Error(`make ${target} failed:\n${run.stdout}${run.stderr}`);
  return run.stdout;
}

describe.skipIf(skip)("the committed firmware image", () => {
  const folders: string[] = [];
  const buildIn = (prefix: string): string => {
    const folder = mkdtempSync(join(tmpdir(), prefix));
    folders.push(folder);
    for (const part of ["src", "generated", "tools", "Makefile"]) {
      cpSync(join(source, part), join(folder, part), { recursive: true });
    }
    make(folder, "all");
    return folder;
  };
  let built = "";
  beforeAll(() => {
    built = buildIn("pinwalk-fw-");
  });
  afterAll(() => {
    for (const folder of folders) rmSync(folder, { recursive: true, force: true });
  });

  it("is what its sources give, byte for byte, without a warning", () => {
    const committed = readFileSync(join(source, "image", "pinwalk-bench.hex"));
    expect(readFileSync(join(built, "image", "pinwalk-bench.hex")).equals(committed)).toBe(true);
  });

  it("is the same from a folder of another name", () => {
    const other = buildIn("another folder ");
    const image = (folder: string) => readFileSync(join(folder, "image", "pinwalk-bench.hex"));
    expect(image(other).equals(image(built))).toBe(true);
  });

  it("fits the chip with its worst-case stack", () => {
    const size = make(built, "size");
    console.info(size);
    const left = Number(/left\s+(-?\d+) bytes/.exec(size)?.[1]);
    const flash = Number(/flash\s+(\d+) of/.exec(size)?.[1]);
    expect(flash).toBeGreaterThan(4_000);
    expect(flash).toBeLessThanOrEqual(32_768);
    expect(left).toBeGreaterThanOrEqual(64);
  });
});
