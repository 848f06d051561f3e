import type { BaysView } from "@pinwalk/host/server/bays/bays-contract.js";
import { BenchClaims } from "@pinwalk/host/server/bays/bench-claims.js";
import type { BenchSource } from "@pinwalk/host/server/bench-source.js";
import { expect, test } from "vitest";
import { ManualClock } from "../link/manual-clock.js";
import { ScriptedBench } from "../link/scripted-bench.js";
import { benchOnAPort, machineWithPorts, strangerOnAPort } from "./bench-on-a-port.js";
import { serveForTest } from "./serve-for-test.js";
import { WorkbenchClient } from "./workbench-client.js";

async function open(url: string, bay: number): Promise<{ client: WorkbenchClient; bays: () => BaysView | undefined }> {
  let told: BaysView | undefined;
  const client = new WorkbenchClient(url, {}, { bay: String(bay) });
  client.socket.on("bays", (view) => {
    told = view;
  });
  await client.until(({ benches }) => !benches.searching);
  return { client, bays: () => told };
}

async function choose(client: WorkbenchClient, name: string): Promise<void> {
  const plan = client.state.plans.list.find((one) => one.name === name);
  await client.must("plan:choose", { planId: plan?.id ?? "" });
}

const hatchback = "Alder Creek loan hatchback";
const cable = (state: WorkbenchClient["state"]) => state.plans.list.find(({ kind }) => kind === "cable")?.name ?? "";

test("two bays walk at the same time, each with its own plan, bench and documents; neither hears the other's", async () => {
  const { url } = await serveForTest({ benches: machineWithPorts() });
  const one = await open(url, 1);
  const two = await open(url, 2);
  await choose(one.client, hatchback);
  await choose(two.client, cable(two.client.state));
  expect(one.client.state.plans.chosen?.name).toBe(hatchback);
  await one.client.must("walk:start", {});
  await two.client.must("walk:start", {});
  expect(two.bays()?.list).toEqual([
    { number: 1, bench: "Virtual bench", plan: hatchback, busy: true },
    { number: 2, bench: "Virtual bench", plan: cable(two.client.state), busy: true },
  ]);
  const ended = await one.client.until(({ walk }) => walk.state === "ended");
  const other = await two.client.until(({ walk }) => walk.state === "ended");
  expect(ended.walk.planName).not.toBe(other.walk.planName);
  const pinsOf = (client: WorkbenchClient) => new Set(client.batches.flatMap(({ pins }) => Object.keys(pins)));
  expect(pinsOf(one.client)).not.toEqual(pinsOf(two.client));
  const drivenPins = async (base: string) =>
    (await (await fetch(`${base}/documents/readings`)).json()).drives.map(({ pin }: { pin: string }) => pin);
  expect([await drivenPins(url), await drivenPins(`${url}/bay/2`)]).toEqual(
    [ended, other].map(({ plans }) => plans.chosen?.expected.map(({ pin }) => pin)),
  );
  const keepable = async (base: string) => (await (await fetch(`${base}/records/keepable`)).json()).state;
  expect([await keepable(url), await keepable(`${url}/bay/2`)]).toEqual(["ready", "ready"]);
  one.client.close();
  two.client.close();
}, 60_000);

test("a bay that no page shows any more ends its walk, whoever looks at the others; a page of it is served", async () => {
  const { url } = await serveForTest({ graceMs: 20, benches: machineWithPorts() });
  const one = await open(url, 1);
  const two = await open(url, 2);
  await choose(two.client, hatchback);
  await two.client.must("walk:start", {});
  const busy = () => one.bays()?.list.map((bay) => bay.busy);
  await expect.poll(busy).toEqual([false, true]);
  two.client.close();
  // Whoever looks at another bay sees that it ends.
  await expect.poll(busy, { timeout: 10_000 }).toEqual([false, false]);
  const again = await open(url, 2);
  const { walk } = await again.client.until((state) => state.walk.state === "ended");
  expect(walk.end).toMatchObject({ kind: "stopped", message: expect.stringContaining("no browser was left") });
  expect(one.client.socket.connected).toBe(true);
  expect((await fetch(`${url}/bay/2`, { redirect: "manual" })).headers.get("location")).toBe("/bay/2/");
  expect((await fetch(`${url}/bay/2/`)).headers.get("content-type")).toContain("text/html");
  expect((await fetch(`${url}/bay/3/documents/readings`)).status).toBe(404);
  // There are four at most.
  const five = new WorkbenchClient(url, {}, { bay: "5" });
  await expect.poll(() => five.socket.connected).toBe(false);
  for (const { client } of [one, again]) client.close();
  five.close();
}, 30_000);

test("a bench at work in one bay is busy in the others for as long, is not asked meanwhile, and free afterwards", async () => {
  const { url } = await serveForTest({ benches: machineWithPorts() });
  const one = await open(url, 1);
  const two = await open(url, 2);
  for (const { client } of [one, two]) {
    await client.must("bench:choose", { benchId: benchOnAPort.id });
    await choose(client, hatchback);
  }
  await one.client.must("self-test:start", {});
  await one.client.until(({ selfTest }) => selfTest.asks !== null);
  const bench = ({ benches }: WorkbenchClient["state"]) => benches.found.find(({ id }) => id === benchOnAPort.id);
  const held = await two.client.until((state) => bench(state)?.state === "busy");
  expect(bench(held)?.detail).toBe("Bench 0007 is in use in bay 1.");
  expect(held.hindrances).toContain("Bench 0007 is in use in bay 1.");
  expect(bench(one.client.state)?.state).toBe("ready");
  expect(await two.client.ask("self-test:start", {})).toMatchObject({ ok: false });
  await two.client.must("bench:refresh", {});
  expect(bench(two.client.state)?.state).toBe("busy");
  await one.client.must("walk:stop", {});
  await two.client.until((state) => bench(state)?.state === "ready");
  for (const { client } of [one, two]) client.close();
}, 30_000);

test("while the server ends, and waits for one bay, nothing is begun in another", async () => {
  const machine = machineWithPorts();
  let letOpen: () => void = () => undefined;
  const held = new Promise<void>((resolve) => {
    letOpen = resolve;
  });
  const opensLate: BenchSource["open"] = async (bench, vehicle) => {
    await held;
    return await machine.open(bench, vehicle);
  };
  const { url, close } = await serveForTest({ benches: { ...machine, open: opensLate } });
  const one = await open(url, 1);
  const two = await open(url, 2);
  for (const { client } of [one, two]) await choose(client, hatchback);
  await one.client.must("walk:start", {});
  const ended = close();
  expect(await two.client.ask("walk:start", {})).toMatchObject({ ok: false, code: "ending" });
  expect(await two.client.ask("walk:stop", {})).toEqual({ ok: true });
  letOpen();
  await ended;
}, 30_000);

test("a port is opened by one bay alone, not while ports are being asked, and given back when opening fails", async () => {
  const opened: string[] = [];
  let found: (benches: readonly (typeof benchOnAPort)[]) => void = () => undefined;
  let fails = false;
  const source: BenchSource = {
    always: [],
    search: async (except) => {
      opened.push(`search without ${[...(except ?? [])].join()}`);
      return await new Promise((resolve) => {
        found = resolve;
      });
    },
    open: async () => {
      if (fails) throw new Error("the cable is out");
      opened.push("open");
      return new ScriptedBench(new ManualClock());
    },
    openBare: async () => new ScriptedBench(new ManualClock()),
  };
  const claims = new BenchClaims(() => undefined);
  const [one, two] = [claims.sourceOf(1, source), claims.sourceOf(2, source)];
  const vehicle = {} as Parameters<BenchSource["open"]>[1];

  const search = two.search();
  const opening = one.open(benchOnAPort, vehicle);
  await expect.poll(() => opened).toEqual(["search without "]);
  found([benchOnAPort, strangerOnAPort]);
  await search;
  const port = await opening;
  await expect(two.open(benchOnAPort, vehicle)).rejects.toMatchObject({ code: "in-use" });
  const later = two.search();
  await expect.poll(() => opened.at(-1)).toBe(`search without ${benchOnAPort.path}`);
  found([strangerOnAPort]);
  expect((await later).map(({ id }) => id)).toEqual([strangerOnAPort.id, benchOnAPort.id]);
  await port.close();
  const other = await two.open(benchOnAPort, vehicle);
  await port.close();
  await expect(one.open(benchOnAPort, vehicle)).rejects.toMatchObject({ code: "in-use" });
  await other.close();
  fails = true;
  await expect(two.open(benchOnAPort, vehicle)).rejects.toThrow("the cable is out");
  expect(one.usedElsewhere?.(benchOnAPort)).toBeUndefined();
});
