import { expect, test } from "vitest";
import { machineWithPorts } from "./bench-on-a-port.js";
import { serveForTest } from "./serve-for-test.js";
import { WorkbenchClient } from "./workbench-client.js";

const benches = machineWithPorts();
const hatchback = { planId: "sample:hatchback-round-6.json" };

test("a healthy vehicle walks without a circuit that is called wrong", async () => {
  const { url } = await serveForTest({ benches });
  const client = await WorkbenchClient.open(url);
  await client.must("plan:choose", hatchback);

  const { walk } = await client.walkToTheEnd();

  expect(walk.end?.kind).toBe("judged");
  if (walk.end?.kind !== "judged") return;
  expect(walk.end.findings.overall).not.toBe("fail");
  expect(walk.end.findings.circuits.map(({ pin, verdict }) => [pin, verdict])).toEqual([
    ["LT", "pass"],
    ["RT", "pass"],
    ["TM", "pass"],
  ]);
  client.close();
});

test("a fault that is put into the virtual vehicle is found in its circuit and nowhere else", async () => {
  const { url } = await serveForTest({ benches });
  const client = await WorkbenchClient.open(url);
  await client.must("plan:choose", hatchback);
  await client.must("faults:set", { faults: [{ choice: "open@lamp:left-rear.bright" }] });
  expect(client.state.faults.put).toMatchObject([{ title: "Open circuit", place: "lamp left rear, bright" }]);

  const { walk } = await client.walkToTheEnd();

  const verdicts = walk.end?.kind === "judged" ? walk.end.findings.circuits.map((one) => [one.pin, one.verdict]) : [];
  expect(Object.fromEntries(verdicts)).toEqual({ LT: "open", RT: "pass", TM: "pass" });
  client.close();
});

test("the samples of a drive come in batches and end near the reading that they led to", async () => {
  const { url } = await serveForTest({ benches });
  const client = await WorkbenchClient.open(url);
  await client.must("plan:choose", hatchback);
  const { walk } = await client.walkToTheEnd();

  const amps = client.batches.flatMap((batch) => batch.pins.LT?.amps ?? []);
  expect(amps.length).toBeGreaterThan(10);
  const settled = walk.pins.LT?.amps ?? Number.NaN;
  expect(Math.abs((amps.at(-1) ?? 0) - settled)).toBeLessThan(0.1 * settled);
  expect(Math.max(...amps)).toBeGreaterThan(2 * settled);
  client.close();
});

test("who joins late sees the same walk, samples included", async () => {
  const { url } = await serveForTest({ benches });
  const first = await WorkbenchClient.open(url);
  await first.must("plan:choose", hatchback);
  await first.walkToTheEnd();

  const late = await WorkbenchClient.open(url);

  expect(late.state).toEqual(first.state);
  expect(late.firstTraces?.pins.TM?.amps).toEqual(first.batches.flatMap((batch) => batch.pins.TM?.amps ?? []));
  first.close();
  late.close();
});

test("a walk that is stopped ends as stopped, with all outputs off, and another can follow", async () => {
  const { url } = await serveForTest({ benches });
  const client = await WorkbenchClient.open(url);
  await client.must("plan:choose", hatchback);
  await client.must("walk:start", {});
  await client.must("walk:stop", {});

  const { walk } = await client.until((state) => state.walk.state === "ended");

  expect(walk.end).toEqual({ kind: "stopped", message: "The walk was stopped by hand. All outputs are off." });
  expect((await client.walkToTheEnd()).walk.end?.kind).toBe("judged");
  client.close();
});

test("when the last browser has gone, the walk ends", async () => {
  const { url } = await serveForTest({ benches, graceMs: 0 });
  const client = await WorkbenchClient.open(url);
  await client.must("plan:choose", hatchback);
  await client.must("walk:start", {});
  client.close();

  const later = await WorkbenchClient.open(url);
  const { walk } = await later.until((state) => state.walk.state === "ended");

  expect(walk.end).toMatchObject({ kind: "stopped", message: expect.stringContaining("no browser was left") });
  later.close();
});

test("the documents of a walk can be fetched while it is the last one", async () => {
  const { url } = await serveForTest({ benches });
  const client = await WorkbenchClient.open(url);
  await client.must("plan:choose", hatchback);
  expect((await fetch(`${url}/documents/readings`)).status).toBe(404);
  await client.walkToTheEnd();

  const readings = await fetch(`${url}/documents/readings?walk=1`);
  expect(await readings.json()).toMatchObject({ format: "pinwalk-readings/1" });
  expect(readings.headers.get("content-disposition")).toContain("pinwalk-readings-walk-1.json");
  expect(await (await fetch(`${url}/documents/findings?walk=1`)).json()).toMatchObject({
    format: "pinwalk-findings/1",
  });
  expect((await fetch(`${url}/documents/readings?walk=7`)).status).toBe(404);
  client.close();
});

test("closing the server in the middle of a walk ends the walk first", async () => {
  const server = await serveForTest({ benches });
  const client = await WorkbenchClient.open(server.url);
  await client.must("plan:choose", hatchback);
  await client.must("walk:start", {});
  const ended = client.until((state) => state.walk.state === "ended");
  await server.close();

  expect((await ended).walk.end).toMatchObject({ kind: "stopped", message: expect.stringContaining("was closed") });
});
