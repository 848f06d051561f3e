import { decodeRequest, type RequestLine } from "@pinwalk/firmware-protocol/request-line.js";
import { packWindows, unpackWindows } from "@pinwalk/firmware-protocol/window-packing.js";
import fc from "fast-check";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { type TranscriptRow, transcriptRows } from "../link/transcript-rows.js";
import { bytesQuestion, HostRunner, hostCompiler } from "./host-runner.js";
import { leftOut } from "./left-out.js";

const skip = leftOut(hostCompiler !== undefined, "a C compiler", "the firmware's parser on the golden lines");

/** What the runner prints for a line, worked out by the TypeScript side. */
function asRunner(line: RequestLine): string {
  if (line.kind === "garbled") return `garbled ${line.why}`;
  const tag = line.tag.toString(16).toUpperCase().padStart(2, "0");
  if (line.kind === "refused") return `refused ${tag} ${line.code}${line.code === "range" ? ` ${line.field}` : ""}`;
  return ["request", tag, line.name, ...Object.values(line.fields)].join(" ");
}

/** The values of a row without their names, a list's values one by one. */
function valuesOf(row: TranscriptRow): string[] {
  if (row.values === "-") return [];
  return row.values.split(" ").flatMap((pair) => pair.slice(pair.indexOf("=") + 1).split(","));
}

function wanted(row: TranscriptRow): string {
  if (row.kind === "garbled") return `garbled ${row.name}`;
  return [row.kind, row.tag, row.name, ...valuesOf(row)].join(" ");
}

describe.skipIf(skip)("the firmware's line parser, compiled on the host", () => {
  let runner: HostRunner;
  beforeAll(() => {
    runner = new HostRunner();
  });
  afterAll(() => runner.remove());

  it.each(["requests.txt", "refused.txt", "garbled.txt"] as const)("makes of every line of %s what it says", (file) => {
    const rows = transcriptRows(file);
    const answers = runner.ask(rows.map((row) => bytesQuestion(row.bytes)));
    expect(rows.map((row, at) => `${row.where} ${answers[at]}`)).toEqual(
      rows.map((row) => `${row.where} ${wanted(row)}`),
    );
    expect(rows.length).toBeGreaterThan(10);
  });

  it("says every sentence of the golden lines byte for byte", () => {
    const rows = transcriptRows("from-bench.txt").filter(({ kind }) => ["reply", "refusal", "push"].includes(kind));
    const answers = runner.ask(rows.map((row) => ["say", row.kind, row.tag, row.name, ...valuesOf(row)].join(" ")));
    expect(answers).toEqual(rows.map((row) => Buffer.from(row.bytes).toString("latin1")));
    expect(rows.length).toBeGreaterThan(30);
  });

  it("packs windows as the TypeScript side does", () => {
    const value = fc.integer({ min: 0, max: 17_000 });
    const window = fc.record({ least: value, mean: value, greatest: value, edges: fc.integer({ min: 0, max: 80 }) });
    const lines = fc.sample(fc.array(window, { minLength: 1, maxLength: 16 }), { numRuns: 500, seed: 3 });
    const questions = lines.map((windows) =>
      ["windows", ...windows.flatMap(({ least, mean, greatest, edges }) => [least, mean, greatest, edges])].join(" "),
    );
    expect(runner.ask(questions)).toEqual(lines.map(packWindows));
    for (const windows of lines) {
      unpackWindows(packWindows(windows)).forEach(({ least, mean, greatest }, at) => {
        const { [at]: packed = { least: 0, mean: 0, greatest: 0 } } = windows;
        for (const [was, is] of [
          [packed.least, least],
          [packed.mean, mean],
          [packed.greatest, greatest],
        ] as const)
          expect(Math.abs(is - Math.min(was, 16_380))).toBeLessThanOrEqual(2);
      });
    }
  });

  it("judges lines that were changed at random as the TypeScript side does", () => {
    const golden = (["requests.txt", "refused.txt", "garbled.txt"] as const).flatMap((file) => transcriptRows(file));
    const change = fc.record({
      row: fc.nat({ max: golden.length - 1 }),
      edits: fc.array(
        fc.record({ at: fc.nat({ max: 80 }), remove: fc.nat({ max: 2 }), insert: fc.uint8Array({ maxLength: 2 }) }),
        { maxLength: 3 },
      ),
    });
    const lines = fc.sample(change, { numRuns: 4000, seed: 20_261_125 }).map(({ row, edits }) => {
      const bytes = [...(golden[row]?.bytes ?? [])];
      for (const { at, remove, insert } of edits) bytes.splice(at, remove, ...insert);
      return Uint8Array.from(bytes.filter((byte) => byte !== 0x0a));
    });
    const answers = runner.ask(lines.map(bytesQuestion));
    const expected = lines.map((line) => {
      const length = line.length;
      const trimmed = length <= 64 && line[length - 1] === 0x0d ? line.subarray(0, length - 1) : line;
      return asRunner(decodeRequest(trimmed));
    });
    expect(answers).toEqual(expected);
  });

  it("refuses or reads a sealed line of any fields as the TypeScript side does", () => {
    const token = fc.oneof(
      fc.constantFrom("near", "far", "0", "00", "7", "8", "10", "10000", "65535", "65536", "01FF", "2000", "", "-1"),
      fc.constantFrom("drive", "low", "listen", "current", "near-gain", "low-ohms", "bench-01", "0123456789abcdefg"),
      fc.integer({ min: 0, max: 70_000 }).map(String),
      fc.string({ minLength: 0, maxLength: 6 }).filter((text) => !/[ \n*]/.test(text) && /^[\x20-\x7e]*$/.test(text)),
    );
    const verb = fc.constantFrom(
      "limits",
      "roles",
      "low",
      "drive",
      "hold",
      "keep",
      "result",
      "volts",
      "ping",
      "watch",
      "constant",
      "stage",
      "serial",
      "store",
      "drivel",
    );
    const bodies = fc.sample(fc.tuple(verb, fc.array(token, { maxLength: 6 })), { numRuns: 4000, seed: 7 });
    const texts = bodies.map(([name, fields]) => ["?5C", name, ...fields].join(" ")).filter((text) => text.length < 60);
    const seals = runner.ask(texts.map((text) => `crc ${Buffer.from(text).toString("hex")}`));
    const lines = texts.map((text, at) => Buffer.from(`${text}*${seals[at]}`));
    const answers = runner.ask(lines.map(bytesQuestion));
    expect(answers).toEqual(lines.map((line) => asRunner(decodeRequest(line))));
    expect(new Set(answers.map((answer) => answer.split(" ")[0]))).toEqual(new Set(["request", "refused"]));
  });
});
