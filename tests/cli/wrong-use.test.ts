import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { hatchback, pinwalk, scratchFile, scratchFolder, umbilical } from "./pinwalk-command.js";

type Json = Record<string, unknown>;

/** The sample plan with the value at one place replaced or added. */
function spoiled(place: string, value: unknown): string {
  const plan: unknown = JSON.parse(readFileSync(hatchback, "utf8"));
  const steps = place.split(".");
  const last = steps.pop() ?? "";
  const holder = steps.reduce<unknown>((at, step) => (at as Json)[step], plan);
  (holder as Json)[last] = value;
  return scratchFile("plan.json", plan);
}

const walkVirtual = (plan: string, ...more: string[]) => pinwalk("walk", plan, "--bench", "virtual", "--fast", ...more);

describe("a plan that cannot be used", () => {
  it.each<[string, string, unknown, RegExp]>([
    ["an unknown key", "circuits.1.wire.lenght", 3, /circuits\[1\]\.wire\.lenght.*unknown key/],
    ["a pin named twice", "circuits.1.pin", "LT", /circuits\[1\]\.pin.*LT.*twice/],
    ["a socket that is not there", "circuits.0.feeds.0.to", "roof.bright", /circuits\[0\]\.feeds\[0\]\.to.*roof/],
    ["a bulb that does not exist", "sockets.0.bulb", "9999", /sockets\[0\]\.bulb.*9999/],
    ["a connector that does not exist", "connector", "round-99", /connector.*round-99/],
    ["a pin that the connector does not have", "circuits.0.pin", "ZZ", /circuits\[0\]\.pin.*ZZ/],
    ["a length that no wire has", "circuits.0.wire.metres", -1, /circuits\[0\]\.wire\.metres/],
    ["another format", "format", "pinwalk-plan/9", /format/],
  ])("for %s is named with file and key, and nothing is walked", async (_what, place, value, message) => {
    const path = spoiled(place, value);
    const { code, out, err } = await walkVirtual(path);
    expect(code).toBe(64);
    expect(out).toBe("");
    expect(err).toContain(path);
    expect(err).toMatch(message);
    expect(err).not.toMatch(/^\s+at /m);
  });

  it.each(["expect", "check", "diagnose"])("is refused by %s with the same words", async (command) => {
    const path = spoiled("circuits.1.pin", "LT");
    const [walked, other] = await Promise.all([
      walkVirtual(path),
      pinwalk(command, path, ...(command === "diagnose" ? [path] : [])),
    ]);
    expect(other).toEqual(walked);
  });

  it("because it is not JSON, not there, or a folder, is said to be so", async () => {
    const folder = scratchFolder();
    for (const [path, words] of [
      [scratchFile("plan.json", "{ not json"), "not JSON"],
      [join(folder, "missing.json"), "no such file"],
      [folder, "folder"],
    ] as const) {
      const { code, err } = await pinwalk("expect", path);
      expect(code).toBe(64);
      expect(err).toContain(path);
      expect(err).toContain(words);
    }
  });
});

describe("readings that cannot be used", () => {
  const sample: Json = JSON.parse(
    readFileSync(new URL("../../fixtures/cases/install-003.json", import.meta.url), "utf8"),
  ).readings;

  it.each<[string, Json, RegExp]>([
    ["an unknown key", { ...sample, colour: "red" }, /colour: unknown key/],
    ["a voltage that cannot be", { ...sample, rest: { LT: 9000 } }, /rest\.LT/],
    ["no number", { ...sample, rest: { LT: "nought" } }, /rest\.LT/],
    ["another format", { ...sample, format: "pinwalk-plan/1" }, /format/],
  ])("for %s are named with file and key", async (_what, readings, message) => {
    const path = scratchFile("readings.json", readings);
    const { code, out, err } = await pinwalk("diagnose", hatchback, path, "--json");
    expect(code).toBe(64);
    expect(out).toBe("");
    expect(err).toContain(path);
    expect(err).toMatch(message);
  });

  it("because they are of another plan are refused, never judged", async () => {
    const cable = JSON.parse(readFileSync(new URL("../../fixtures/cases/cable-003.json", import.meta.url), "utf8"));
    const ofCable = scratchFile("cable-readings.json", cable.readings);
    const { code, out, err } = await pinwalk("diagnose", hatchback, ofCable, "--json");
    expect(code).toBe(64);
    expect(out).toBe("");
    expect(err).toContain(ofCable);
    expect(err).toMatch(/plan/);
  });

  it("spoil the whole command, so that no verdict of the others stands alone", async () => {
    const good = scratchFile("good.json", sample);
    const bad = scratchFile("bad.json", { ...sample, colour: "red" });
    const { code, out } = await pinwalk("diagnose", hatchback, good, bad, "--json");
    expect(code).toBe(64);
    expect(out).toBe("");
  });
});

describe("a command line that cannot be", () => {
  it.each<[string, string[], RegExp]>([
    ["no command", [], /Usage/],
    ["an unknown command", ["drive"], /unknown command/],
    ["an unknown option", ["walk", hatchback, "--bensh", "virtual"], /unknown option/],
    ["no plan", ["walk"], /missing required argument/],
    ["no readings", ["diagnose", hatchback], /missing required argument/],
    ["volts that are no number", ["expect", hatchback, "--volts", "lots"], /volts/],
    ["volts that no supply has", ["expect", hatchback, "--volts", "4000"], /volts/],
    ["a TCP port that does not exist", ["serve", "--port", "70000"], /port/],
    ["a fault of no kind", ["walk", hatchback, "--bench", "virtual", "--fault", "gremlin@wire:TM"], /gremlin/],
    ["a fault at no place", ["walk", hatchback, "--bench", "virtual", "--fault", "open@lamp:roof.bright"], /roof/],
    ["a fault without a place", ["walk", hatchback, "--bench", "virtual", "--fault", "open"], /open/],
    ["a fault on a real bench", ["walk", hatchback, "--bench", "/dev/null", "--fault", "open@ground-bond"], /emulated/],
    ["a fast real bench", ["walk", hatchback, "--bench", "/dev/null", "--fast"], /emulated/],
    [
      "readings into no folder",
      ["walk", hatchback, "--bench", "virtual", "--readings", "/no/such/folder/r.json"],
      /folder/,
    ],
    [
      "a cable fault at a lamp",
      ["walk", umbilical, "--bench", "virtual", "--fault", "open@lamp:left-rear.bright"],
      /left-rear/,
    ],
  ])("for %s ends with 64 and says what is wrong", async (_what, args, message) => {
    const { code, out, err } = await pinwalk(...args);
    expect(code).toBe(64);
    expect(out).toBe("");
    expect(err).toMatch(message);
  });

  it("is helped with exit codes, units and examples", async () => {
    const root = await pinwalk("--help");
    expect(root.code).toBe(0);
    expect(root.out).toMatch(/could not test/);
    for (const command of ["benches", "expect", "check", "walk", "diagnose", "serve"]) {
      const help = await pinwalk(command, "--help");
      expect(help.code).toBe(0);
      expect(help.out).toMatch(/Example/);
    }
  });
});

describe("help", () => {
  it("that was asked for is no wrong use; a command alone that needs another is", async () => {
    for (const words of [["help"], ["help", "walk"], ["records", "help"], ["walk", "--help"]])
      expect((await pinwalk(...words)).code, words.join(" ")).toBe(0);
    for (const words of [[], ["records"]]) expect((await pinwalk(...words)).code, words.join(" ")).toBe(64);
  });
});
