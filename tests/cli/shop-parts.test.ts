import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { hatchback, pinwalk, scratchFile } from "./pinwalk-command.js";

const shopParts = fileURLToPath(new URL("../../fixtures/parts/shop-parts.json", import.meta.url));

/** The hatchback with the shop's own one-filament bulb behind both stop/turn circuits. */
function shopPlan(): string {
  const plan = JSON.parse(readFileSync(hatchback, "utf8"));
  plan.circuits = plan.circuits.filter(({ pin }: { pin: string }) => pin !== "TM");
  for (const socket of plan.sockets) socket.bulb = "shop-21";
  return scratchFile("shop-plan.json", plan);
}

describe("a shop's own parts", () => {
  it("are unknown until their file is named", async () => {
    const { code, err } = await pinwalk("expect", shopPlan());
    expect(code).toBe(64);
    expect(err).toContain('no bulb "shop-21"');
  });

  it("are expected at their own current", async () => {
    const { code, out } = await pinwalk("expect", shopPlan(), "--parts", shopParts, "--json");
    expect(code).toBe(0);
    const { pins } = JSON.parse(out);
    // 1.5 A at 12.8 V; about 0.8 V is lost in the diode and 0.3 V in wire and bench: 1.5 × (11.65/12.8)^0.55 = 1.42 A.
    for (const { amps } of pins) expect(amps).toBeCloseTo(1.42, 1);
  });

  it("are walked and judged like any other", async () => {
    const walked = ["walk", shopPlan(), "--parts", shopParts, "--bench", "virtual", "--fast", "--json"] as const;
    const [healthy, dead] = await Promise.all([
      pinwalk(...walked),
      pinwalk(...walked, "--fault", "open@lamp:left-rear.bright"),
    ]);
    expect(healthy.code).toBe(2);
    expect(dead.code).toBe(1);
    const verdicts = JSON.parse(dead.out).circuits.map((circuit: { verdict: string }) => circuit.verdict);
    expect(verdicts).toEqual(["open", "pass"]);
  });

  it("are refused with the places to mend when the file is no parts file", async () => {
    const { code, err } = await pinwalk("check", hatchback, "--parts", hatchback);
    expect(code).toBe(64);
    expect(err).toContain("this parts file cannot be used");
  });
});
