import { readFileSync } from "node:fs";
import { dirname } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it, onTestFinished, vi } from "vitest";
import { WorkbenchClient } from "../server/workbench-client.js";
import { hatchback, PinwalkCommand, pinwalk, scratchFile } from "./pinwalk-command.js";

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

  it("are known to every page of the dashboard that is served with their file", async () => {
    // What is opened there is kept in the person's folder of plans.
    vi.stubEnv("HOME", dirname(scratchFile("home.json", {})));
    onTestFinished(() => {
      vi.unstubAllEnvs();
    });
    const command = new PinwalkCommand(["serve", "--port", "0", "--parts", shopParts]);
    const [, url = ""] = await command.said(/(http:\/\/127\.0\.0\.1:\d+)/);
    const client = await WorkbenchClient.open(url);
    await client.must("plan:upload", { fileName: "shop.json", text: readFileSync(shopPlan(), "utf8") });
    for (const { amps } of client.state.plans.chosen?.expected ?? []) expect(amps).toBeCloseTo(1.42, 1);
    expect(client.state.plans.chosen?.expected).not.toEqual([]);
    client.close();
    command.signal("SIGINT");
    expect((await command.ended).code).toBe(0);
  }, 30_000);

  it("are refused with the places to mend when the file is no parts file", async () => {
    const { code, err } = await pinwalk("check", hatchback, "--parts", hatchback);
    expect(code).toBe(64);
    expect(err).toContain("this parts file cannot be used");
  });
});
