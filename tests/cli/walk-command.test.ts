import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { type Findings, findingsSchema } from "@pinwalk/host/diagnosis/findings.js";
import { readingsSchema } from "@pinwalk/host/readings/readings.js";
import { describe, expect, it } from "vitest";
import { hatchback, pinwalk, scratchFolder, umbilical } from "./pinwalk-command.js";

const verdicts = (findings: Findings): Record<string, string> =>
  Object.fromEntries(findings.circuits.map(({ pin, verdict }) => [pin, verdict]));

const overallOf: Record<number, string> = { 0: "pass", 1: "fail", 2: "unsure" };

describe("pinwalk walk on the emulated bench", () => {
  it("finds nothing wrong with a healthy vehicle, and prints a findings document", async () => {
    const { code, out, err } = await pinwalk("walk", hatchback, "--bench", "virtual", "--fast", "--json");
    expect([0, 2], err).toContain(code);
    const findings = findingsSchema.parse(JSON.parse(out));
    expect(findings.overall).toBe(overallOf[code ?? -1]);
    expect(verdicts(findings)).toEqual({ LT: "pass", RT: "pass", TM: "pass" });
  });

  it("finds nothing wrong with a healthy cable", async () => {
    const { code, out, err } = await pinwalk("walk", umbilical, "--bench", "virtual", "--fast", "--json");
    expect([0, 2], err).toContain(code);
    for (const verdict of Object.values(verdicts(findingsSchema.parse(JSON.parse(out))))) expect(verdict).toBe("pass");
  });

  it.each([
    ["open@lamp:left-rear.bright", { LT: /open|low-current/, RT: /pass/, TM: /pass/ }],
    ["short-to-ground@wire:TM", { LT: /pass/, RT: /pass/, TM: /short-to-ground/ }],
    ["bridge@wire:LT+wire:TM", { LT: /bridged/, RT: /pass/, TM: /bridged/ }],
    ["swap@pin:LT+pin:TM", { LT: /swapped/, RT: /pass/, TM: /swapped/ }],
    ["open@ground-bond", { LT: /no-ground/, RT: /no-ground/, TM: /no-ground/ }],
    ["short-to-power@pin:RT", { LT: /pass/, RT: /short-to-power/, TM: /pass/ }],
  ])("with %s fails exactly the circuits that are touched", async (fault, expected) => {
    const { code, out, err } = await pinwalk(
      "walk",
      hatchback,
      "--bench",
      "virtual",
      "--fast",
      "--json",
      "--fault",
      fault,
    );
    expect(code, err).toBe(1);
    const found = verdicts(findingsSchema.parse(JSON.parse(out)));
    for (const [pin, verdict] of Object.entries(expected)) expect(found[pin], `${pin} of ${out}`).toMatch(verdict);
  });

  it("takes a fault with a resistance, and more than one fault", async () => {
    const faults = ["--fault", "high-resistance@wire:TM=5", "--fault", "open@pin:RT"];
    const { code, out, err } = await pinwalk("walk", hatchback, "--bench", "virtual", "--fast", "--json", ...faults);
    expect(code, err).toBe(1);
    const found = verdicts(findingsSchema.parse(JSON.parse(out)));
    expect(found).toMatchObject({ LT: "pass", RT: "open", TM: "low-current" });
  });

  it("keeps the readings whole, and diagnosing them gives the same verdict", async () => {
    const folder = scratchFolder();
    const file = join(folder, "readings.json");
    const walked = await pinwalk(
      "walk",
      hatchback,
      "--bench",
      "virtual",
      "--fast",
      "--json",
      "--readings",
      file,
      "--seed",
      "7",
    );
    const readings = readingsSchema.parse(JSON.parse(readFileSync(file, "utf8")));
    expect(readings.drives?.map(({ pin }) => pin).toSorted()).toEqual(["LT", "RT", "TM"]);
    expect(readdirSync(folder)).toEqual(["readings.json"]);
    const diagnosed = await pinwalk("diagnose", hatchback, file, "--json");
    expect(diagnosed.code).toBe(walked.code);
    expect(JSON.parse(diagnosed.out)).toEqual(JSON.parse(walked.out));
  });

  it("tells a person the verdict of each circuit in words, without colour codes in a pipe", async () => {
    const { out } = await pinwalk(
      "walk",
      hatchback,
      "--bench",
      "virtual",
      "--fast",
      "--fault",
      "open@lamp:left-rear.bright",
    );
    expect(out).toMatch(/^FAIL/);
    expect(out).toMatch(/^LT +left-stop-turn .*(open|low-current)$/m);
    expect(out).toMatch(/^RT +right-stop-turn .*pass$/m);
    expect(out).not.toContain("\u001b");
  });
});
