import { readFileSync } from "node:fs";
import { findingsSchema } from "@pinwalk/host/diagnosis/findings.js";
import { describe, expect, it } from "vitest";
import { hatchback, pinwalk, scratchFile } from "./pinwalk-command.js";

const caseReadings = (name: string): string =>
  scratchFile(
    `${name}.json`,
    JSON.parse(readFileSync(new URL(`../../fixtures/cases/${name}.json`, import.meta.url), "utf8")).readings,
  );

describe("pinwalk expect", () => {
  it("prints amps with their band, volts at the pin and at each lamp", async () => {
    const { code, out } = await pinwalk("expect", hatchback, "--volts", "12.8", "--json");
    expect(code).toBe(0);
    const { pins, source } = JSON.parse(out);
    expect(source).toEqual({ volts: 12.8, ohms: 0.1 });
    expect(pins.map(({ pin }: { pin: string }) => pin).toSorted()).toEqual(["LT", "RT", "TM"]);
    for (const pin of pins) {
      expect(pin.low).toBeLessThan(pin.amps);
      expect(pin.high).toBeGreaterThan(pin.amps);
      // The pin stands below the supply by what its current drops over the bench's own resistance.
      expect(pin.volts).toBeCloseTo(12.8 - 0.1 * pin.amps, 2);
      for (const volts of Object.values<number>(pin.lampVolts)) expect(volts).toBeLessThan(pin.volts);
    }
    const tail = pins.find(({ pin }: { pin: string }) => pin === "TM");
    expect(Object.keys(tail.lampVolts).toSorted()).toEqual(["left-rear.dim", "right-rear.dim"]);
  });

  it("expects more current from a higher supply", async () => {
    const [low, high] = await Promise.all(
      ["11.5", "14"].map((volts) => pinwalk("expect", hatchback, "--volts", volts, "--json")),
    );
    const amps = (ended: typeof low): number => JSON.parse(ended?.out ?? "{}").pins[0].amps;
    expect(amps(high)).toBeGreaterThan(amps(low));
  });
});

describe("pinwalk check", () => {
  it("prints remarks, each with a severity, a sentence and a source, and the cut list", async () => {
    const { code, out } = await pinwalk("check", hatchback, "--json");
    const { remarks, cutList } = JSON.parse(out);
    expect(code).toBe(0);
    for (const remark of remarks) {
      expect(["problem", "warning", "note"]).toContain(remark.severity);
      for (const key of ["code", "text", "where", "source"]) expect(remark[key]).not.toBe("");
    }
    const yellow = cutList.wires.find(({ colour }: { colour: string }) => colour === "yellow");
    expect(yellow.metres).toBeGreaterThan(5.8);
  });

  it("ends with 1 for a plan whose lamp would be too dim, and says so first", async () => {
    const plan = JSON.parse(readFileSync(hatchback, "utf8"));
    plan.circuits[0].wire = { awg: 18, metres: 60, colour: "yellow" };
    const { code, out } = await pinwalk("check", scratchFile("thin.json", plan));
    expect(code).toBe(1);
    expect(out).toMatch(/^PROBLEM/);
    expect(out).toContain("Cut list");
  });
});

describe("pinwalk diagnose", () => {
  it("prints one findings document a line for each readings file, and ends with the worst verdict", async () => {
    const files = ["install-003", "install-000"].map(caseReadings);
    const { code, out, err } = await pinwalk("diagnose", hatchback, ...files, "--json");
    const lines = out.trimEnd().split("\n");
    expect(lines, err).toHaveLength(2);
    const overall = lines.map((line) => findingsSchema.parse(JSON.parse(line)).overall);
    expect(overall).toContain("fail");
    expect(code).toBe(1);
  });

  it("names each file above its table for a person", async () => {
    const files = ["install-003", "install-000"].map(caseReadings);
    const { out } = await pinwalk("diagnose", hatchback, ...files);
    for (const file of files) expect(out).toContain(file);
  });
});

describe("pinwalk benches", () => {
  it("says of a file that is no serial port that it cannot be opened, and ends with 3", async () => {
    const path = scratchFile("no-port", "x");
    const { code, out } = await pinwalk("benches", "--port", path, "--json");
    expect(code).toBe(3);
    const { benches } = JSON.parse(out);
    expect(benches).toHaveLength(1);
    expect(benches[0]).toMatchObject({ path, kind: expect.stringMatching(/cannot-open|not-a-bench/) });
  });
});
