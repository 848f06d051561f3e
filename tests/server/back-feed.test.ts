import type { WorkbenchState } from "@pinwalk/host/server/contract.js";
import { expect, test } from "vitest";
import { benchOnAPort, machineWithPorts } from "./bench-on-a-port.js";
import { serveForTest } from "./serve-for-test.js";
import { WorkbenchClient } from "./workbench-client.js";

const hatchback = { planId: "sample:hatchback-round-6.json" };

async function walkedClient(faults: readonly string[] = []): Promise<{ url: string; client: WorkbenchClient }> {
  const { url } = await serveForTest({ benches: machineWithPorts() });
  const client = await WorkbenchClient.open(url);
  await client.must("plan:choose", hatchback);
  await client.must("faults:set", { faults: faults.map((choice) => ({ choice })) });
  await client.walkToTheEnd();
  await client.until(({ backFeed }) => backFeed.hindrance === null);
  return { url, client };
}

const asked = ({ backFeed }: WorkbenchState) =>
  backFeed.step === "switch-on" ? backFeed.asks.find(({ state }) => state === "now")?.id : undefined;

test("the watch has to wait for a walk, and a cable has none", async () => {
  const { url } = await serveForTest({ benches: machineWithPorts() });
  const client = await WorkbenchClient.open(url);
  expect(await client.ask("back-feed:start", {})).toMatchObject({ ok: false, code: "not-ready" });
  await client.must("plan:choose", hatchback);
  expect(client.state.backFeed.hindrance).toContain("Walk every pin first");
  expect(await client.ask("back-feed:start", {})).toMatchObject({ ok: false, code: "not-ready" });
  expect(await client.ask("back-feed:answer", { answer: "confirm" })).toMatchObject({ ok: false, code: "not-going" });
  await client.must("plan:choose", { planId: "sample:umbilical-blade-7-to-round-6.json" });
  await client.walkToTheEnd();
  await client.until(({ backFeed }) => backFeed.hindrance?.startsWith("A cable") === true);
  client.close();
});

test("what shows up is noticed, stands at its function, and changes the verdict of the walk and its documents", async () => {
  const { url, client } = await walkedClient(["diode-shorted@feed:RT/right-rear.bright"]);
  await client.must("back-feed:start", {});
  for (const id of ["tail", "left-stop-turn"]) {
    await client.until((state) => asked(state) === id);
    await client.must("back-feed:answer", { answer: "skip" });
  }
  await client.until((state) => asked(state) === "right-stop-turn");
  await client.must("back-feed:switch", { askId: "right-stop-turn" });
  const fed = await client.until(({ backFeed }) => backFeed.step === "switch-off");
  expect(fed.backFeed.pins.find(({ over }) => over)?.pin).toBe("RT");
  await client.must("back-feed:switch", { askId: null });
  await client.until((state) => asked(state) === "pedal");
  await client.must("back-feed:answer", { answer: "finish" });
  const { backFeed, walk } = await client.until((state) => state.backFeed.state === "ended");
  expect(backFeed.asks.map(({ state }) => state)).toEqual(["skipped", "skipped", "fed", "now"]);
  expect(backFeed.asks[2]?.detail).toMatch(/^\d+\.\d\d\sV on RT$/);
  expect(backFeed.end).toEqual({ kind: "judged", overall: "fail", added: true });
  const verdicts = walk.end?.kind === "judged" ? walk.end.findings.circuits : [];
  expect(verdicts.find(({ pin }) => pin === "RT")?.verdict).toBe("not-isolated");
  const readings = await (await fetch(`${url}/documents/readings?walk=1`)).json();
  expect(readings.backFeed).toMatchObject([{ vehicle: ["right-stop-turn"] }]);
  client.close();
});

test("nothing else can begin while the watch goes on, and the stop of a walk stops it", async () => {
  const { client } = await walkedClient();
  await client.must("back-feed:start", {});
  expect(await client.ask("walk:start", {})).toMatchObject({ ok: false, code: "walking" });
  expect(await client.ask("round:start", {})).toMatchObject({ ok: false, code: "walking" });
  expect(await client.ask("faults:set", { faults: [] })).toMatchObject({ ok: false, code: "walking" });
  await client.must("walk:stop", {});
  const { backFeed, walk } = await client.until((state) => state.backFeed.state === "ended");
  expect(backFeed.end).toMatchObject({ kind: "stopped", message: expect.stringContaining("stopped by hand") });
  expect(walk.end?.kind).toBe("judged");
  client.close();
});

test("a vehicle that was changed since the walk has to be walked again", async () => {
  const { client } = await walkedClient();
  await client.must("faults:set", { faults: [{ choice: "open@ground-bond" }] });
  expect(client.state.backFeed.hindrance).toContain("walk again");
  expect(await client.ask("back-feed:start", {})).toMatchObject({ ok: false, code: "not-ready" });
  client.close();
});

test("a real bench has no simulated vehicle to switch", async () => {
  const { url } = await serveForTest({ benches: machineWithPorts() });
  const client = await WorkbenchClient.open(url);
  await client.until((state) => !state.benches.searching);
  await client.must("plan:choose", hatchback);
  await client.must("bench:choose", { benchId: benchOnAPort.id });
  for (const { id } of client.state.checks.items) await client.must("check:tick", { checkId: id, ticked: true });
  await client.walkToTheEnd();
  await client.until(({ backFeed }) => backFeed.hindrance === null);
  await client.must("back-feed:start", {});
  await client.until((state) => asked(state) === "tail");
  expect(client.state.backFeed.simulated).toBeNull();
  expect(await client.ask("back-feed:switch", { askId: "tail" })).toMatchObject({ ok: false, code: "no-simulation" });
  // What is driven needs its checks again, what only listens does not.
  expect(client.state.round.hindrance).toMatch(/^Tick/);
  client.close();
});
