import type { StripBatch } from "@pinwalk/host/server/strip/strip-contract.js";
import { describe, expect, test } from "vitest";
import { machineWithPorts } from "./bench-on-a-port.js";
import { serveForTest } from "./serve-for-test.js";
import { WorkbenchClient } from "./workbench-client.js";

const settings = { use: "wire", pin: "LT", wire: "left rear, green", mostDropVolts: 0.5 } as const;
const off = { wireId: "w1", on: [] as string[], farLoads: false, poorPin: null };

async function hatchbackClient(): Promise<{ url: string; client: WorkbenchClient }> {
  const { url } = await serveForTest({ benches: machineWithPorts() });
  const client = await WorkbenchClient.open(url);
  await client.must("plan:choose", { planId: "sample:hatchback-round-6.json" });
  return { url, client };
}

/** Lets the bench's clock go on until it has told so many times more what it hears. */
async function listenOn(client: WorkbenchClient, times: number): Promise<void> {
  let told = 0;
  let before = client.state.listening.now;
  await client.until(({ listening }) => {
    if (listening.now !== before) told += 1;
    before = listening.now;
    return told >= times;
  });
}

describe("listening to a wire through the server", () => {
  test("tells the function from what was said, and keeps it on the finding sheet", async () => {
    const { url, client } = await hatchbackClient();
    const strips: StripBatch[] = [];
    client.socket.on("strip", (batch) => strips.push(batch));
    await client.must("listening:set-up", settings);
    await client.must("listening:start", {});
    await client.until(({ listening }) => listening.step === "listening" && listening.simulated !== null);
    await listenOn(client, 2);
    await client.must("listening:simulate", { ...off, on: ["tail lamps"] });
    await client.must("listening:said", { name: "tail lamps", on: true });
    await listenOn(client, 5);
    expect(client.state.listening.now?.words[0]).toMatch(/200.Hz, on 23.%/);
    expect(client.state.listening.now?.caution).toBe(true);
    await client.must("listening:simulate", off);
    await client.must("listening:said", { name: "tail lamps", on: false });
    await listenOn(client, 5);
    await client.must("listening:answer", { answer: "finish" });
    const { listening } = await client.until((state) => state.listening.state === "ended");
    expect(listening.end).toMatchObject({
      kind: "heard",
      finding: { wire: "left rear, green", pin: "LT", functions: ["tail lamps"], lostWindows: 0 },
    });
    const pulsed = strips.flatMap(({ pins }) => pins.LT?.fine ?? []).flatMap(({ greatest }) => greatest);
    expect(Math.max(...pulsed)).toBeGreaterThan(12_000);

    const sheet = (await (await fetch(`${url}/listening/sheet`)).json()) as { format: string; wires: object[] };
    expect(sheet).toMatchObject({ format: "pinwalk-wires/1", wires: [{ wire: "left rear, green" }] });
    // A sample is not changed: what was found goes into a copy, and the next wire into that.
    const joint = { findingId: 1, pin: "LT", feed: "left-rear.bright" };
    expect(await client.ask("listening:into-plan", { ...joint, feed: "roof.bright" })).toMatchObject({
      code: "no-such-joint",
    });
    await client.must("listening:into-plan", joint);
    const { plans } = await client.until((state) => state.plans.chosen?.origin === "own");
    expect(plans.chosen?.name).toBe("Alder Creek loan hatchback, with its wires");
    await client.must("listening:into-plan", { ...joint, pin: "TM", feed: "left-rear.dim" });
    const inPlan = await client.until(
      (state) => state.listening.joints.filter(({ vehicleWire }) => vehicleWire !== null).length === 2,
    );
    expect(inPlan.listening.joints.find(({ feed }) => feed === "left-rear.bright")?.vehicleWire).toMatch(
      /^left rear, green: .*200.Hz/,
    );
    expect(inPlan.plans.list.filter(({ origin }) => origin === "own")).toHaveLength(1);
    await client.must("listening:forget", { findingId: 1 });
    expect(await client.ask("listening:forget", { findingId: 1 })).toMatchObject({ code: "no-such-finding" });
    client.close();
  }, 60_000);

  test("refuses what is not there, and a stopped listening leaves no finding", async () => {
    const { client } = await hatchbackClient();
    expect(await client.ask("listening:set-up", { ...settings, pin: "GD" })).toMatchObject({ code: "no-such-pin" });
    expect(await client.ask("listening:simulate", off)).toMatchObject({ code: "no-simulation" });
    expect(await client.say("listening:said", { name: "<b>", on: true })).toMatchObject({ code: "bad-command" });
    await client.must("listening:start", {});
    await client.until(({ listening }) => listening.simulated !== null);
    expect(await client.ask("listening:simulate", { ...off, on: ["horn"] })).toMatchObject({ code: "no-such-switch" });
    await client.must("walk:stop", {});
    const { listening } = await client.until((state) => state.listening.state === "ended");
    expect(listening.end).toMatchObject({ kind: "stopped" });
    expect(listening.findings).toEqual([]);
    expect(listening.simulated).toBeNull();
    client.close();
  }, 30_000);
});

describe("a tow vehicle's outlet through the server", () => {
  test("a pin behind a poor contact fails under its far load, the others hold", async () => {
    const { client } = await hatchbackClient();
    await client.must("listening:set-up", { ...settings, use: "outlet" });
    await client.must("listening:start", {});
    const on = ["tail lamps", "brake pedal", "right turn"];
    await client.until(({ listening }) => listening.stepWords !== null && listening.step === "without-loads");
    await client.must("listening:simulate", { ...off, on, poorPin: "TM" });
    await client.must("listening:answer", { answer: "ready" });
    await client.until(({ listening }) => listening.stepWords !== null && listening.step === "with-loads");
    await client.must("listening:simulate", { ...off, on, poorPin: "TM", farLoads: true });
    await client.must("listening:answer", { answer: "ready" });
    const { listening } = await client.until((state) => state.listening.state === "ended");
    expect(listening.end).toEqual({ kind: "compared", overall: "fail" });
    const byPin = new Map(listening.outlet.map((row) => [row.pin, row]));
    expect(byPin.get("TM")).toMatchObject({ verdict: "fail" });
    expect(Math.abs((byPin.get("TM")?.ohms ?? 0) - 6)).toBeLessThan(0.5);
    for (const pin of ["LT", "RT"]) expect(byPin.get(pin)?.verdict).toBe("pass");
    client.close();
  }, 60_000);
});
