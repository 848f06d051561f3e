import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { hatchback, pinwalk, scratchFile } from "./pinwalk-command.js";

describe("readings in which nothing was measured yet", () => {
  it("are judged of no circuit, and end unsure with what is missing", async () => {
    const { readings } = JSON.parse(
      readFileSync(new URL("../../fixtures/cases/install-002.json", import.meta.url), "utf8"),
    );
    const { rest, lowCurrent, drives, backFeed, seen, ...bare } = readings;
    const { code, out } = await pinwalk("diagnose", hatchback, scratchFile("bare.json", bare), "--json");
    expect(code).toBe(2);
    const findings = JSON.parse(out);
    expect(findings.circuits.map(({ verdict }: { verdict: string }) => verdict)).toEqual(
      Array.from({ length: 3 }, () => "not-judged"),
    );
    const open = findings.notJudged.map(({ what }: { what: string }) => what);
    expect(open).toEqual(expect.arrayContaining(["rest", "lowCurrent", "drives"]));
  });
});
