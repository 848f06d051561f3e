import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { leftOut } from "../firmware/left-out.js";
import { SeededRandom } from "../line-attack/seeded-random.js";
import { transcriptFiles, transcriptRows } from "../link/transcript-rows.js";
import { codecOutcomes, heardFromBench } from "./codec-outcomes.js";
import { corpusFiles, FuzzBuild, fuzzerFound, inputOf } from "./fuzz-build.js";
import { mutated } from "./mutate.js";

const MUTANTS = 4_000;
const files = corpusFiles();
const skip = leftOut(fuzzerFound(), "clang and libclang-rt-14-dev", "the fuzz corpus through the firmware's reception");

describe("what the fuzzer has found so far", () => {
  it("never makes the TypeScript codec throw, whichever side is taken to have said it", () => {
    for (const file of files) {
      expect(() => codecOutcomes(inputOf(file)), file).not.toThrow();
      expect(() => heardFromBench(inputOf(file)), file).not.toThrow();
    }
    expect(files.length).toBeGreaterThan(100);
  });

  it("holds every way in which a line can end", () => {
    const endings = files.flatMap((file) =>
      codecOutcomes(inputOf(file)).map((outcome) => {
        const [kind = "", second = "", third = ""] = outcome.split(" ");
        if (kind === "request") return kind;
        return `${kind} ${kind === "garbled" ? second : third}`;
      }),
    );
    expect([...new Set(endings)].toSorted()).toEqual([
      ...["crc", "form", "long"].map((why) => `garbled ${why}`),
      ...["form", "range", "verb"].map((code) => `refused ${code}`),
      "request",
    ]);
  });
});

describe.skipIf(skip)("the firmware's reception under sanitizers", () => {
  let build: FuzzBuild;
  beforeAll(() => {
    build = new FuzzBuild();
  });
  afterAll(() => build.remove());

  it("reports nothing over the kept inputs, and reads each of their lines as the TypeScript side does", () => {
    const said = build.outcomesOf(files);
    const read = files.map((file) => codecOutcomes(inputOf(file)));
    expect(files.map((file, at) => [file, said[at]])).toEqual(files.map((file, at) => [file, read[at]]));
  });

  it("reads what becomes of them by small changes as the TypeScript side does", () => {
    const random = new SeededRandom(20_261_125);
    const golden = transcriptFiles.flatMap((name) =>
      transcriptRows(name).map(({ bytes }) => Uint8Array.from([...bytes, 0x0a])),
    );
    const origins = [...files.map(inputOf), ...golden];
    const inputs = Array.from({ length: MUTANTS }, () => mutated(random.pick(origins), random));
    const changed = inputs.filter(({ length }) => length > 0);
    const said = build.outcomesOfBytes(changed);
    const inHex = changed.map((bytes) => Buffer.from(bytes).toString("hex"));
    expect(inHex.map((hex, at) => [hex, said[at]])).toEqual(
      inHex.map((hex, at) => [hex, codecOutcomes(changed[at] ?? new Uint8Array())]),
    );
    for (const bytes of changed) expect(() => heardFromBench(bytes)).not.toThrow();
  });
});
