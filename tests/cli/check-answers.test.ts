import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { hatchback, pinwalk, scratchFile } from "./pinwalk-command.js";

const { readings } = JSON.parse(
  readFileSync(new URL("../../fixtures/cases/install-017.json", import.meta.url), "utf8"),
);

describe("pinwalk diagnose --answers", () => {
  it("takes what came of a next check, and gives other chances than before", async () => {
    const file = scratchFile("readings.json", readings);
    const before = JSON.parse((await pinwalk("diagnose", hatchback, file, "--json")).out);
    const [{ check, outcomes }] = before.nextChecks;
    const answers = scratchFile("answers.json", [{ check, answer: outcomes[0].answer }]);
    const { code, out } = await pinwalk("diagnose", hatchback, file, "--json", "--answers", answers);
    expect(code).toBe(1);
    expect(JSON.parse(out).explanations).not.toEqual(before.explanations);
  });

  it("refuses an answer that the check does not have, and a file of another shape", async () => {
    const file = scratchFile("readings.json", readings);
    for (const wrong of [[{ check: { look: "left-rear.bright", while: "LT" }, answer: "perhaps" }], { lit: true }]) {
      const { code, err } = await pinwalk("diagnose", hatchback, file, "--answers", scratchFile("wrong.json", wrong));
      expect(code).toBe(64);
      expect(err).toContain("answers");
    }
  });
});
