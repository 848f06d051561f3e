import { mkdir, readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { expect, test } from "vitest";
import { benchOnAPort, machineWithPorts, strangerOnAPort } from "./bench-on-a-port.js";
import { serveForTest } from "./serve-for-test.js";
import { WorkbenchClient } from "./workbench-client.js";

const planText = await readFile(new URL("../../fixtures/plans/hatchback-round-6.json", import.meta.url), "utf8");

test.each([
  ["a command that does not exist", "bench:explode", {}, "no-such-command"],
  ["a name from the object's own inheritance", "constructor", {}, "no-such-command"],
  ["a payload that is missing", "plan:choose", null, "bad-command"],
  ["a payload of another type", "walk:start", "now", "bad-command"],
  ["a key too many", "walk:start", { force: true }, "bad-command"],
  ["a plan that is not there", "plan:choose", { planId: "own:../../etc/passwd" }, "no-such-plan"],
  ["a bench that is not there", "bench:choose", { benchId: "serial:/dev/sda" }, "no-such-bench"],
  ["faults without a plan", "faults:set", { faults: [] }, "no-plan"],
  ["a walk without a plan", "walk:start", {}, "not-ready"],
])("%s is refused by its code, and the server lives on", async (_what, name, payload, code) => {
  const { url } = await serveForTest({ benches: machineWithPorts() });
  const client = await WorkbenchClient.open(url);
  expect(await client.say(name, payload)).toMatchObject({ ok: false, code });
  expect(await client.ask("walk:stop", {})).toEqual({ ok: true });
  client.close();
});

test("a fault that the plan has no place for, or twice, is refused and changes nothing", async () => {
  const { url } = await serveForTest({ benches: machineWithPorts() });
  const client = await WorkbenchClient.open(url);
  await client.must("plan:choose", { planId: "sample:hatchback-round-6.json" });
  const twice = { choice: "open@ground-bond" };
  for (const faults of [[{ choice: "open@lamp:front.bright" }], [twice, twice]])
    expect(await client.ask("faults:set", { faults })).toMatchObject({ ok: false, code: "bad-fault" });
  expect(client.state.faults.put).toEqual([]);
  client.close();
});

test("every fault that is offered can be put in", async () => {
  const { url } = await serveForTest({ benches: machineWithPorts() });
  const client = await WorkbenchClient.open(url);
  for (const planId of ["sample:hatchback-round-6.json", "sample:umbilical-blade-7-to-round-6.json"]) {
    await client.must("plan:choose", { planId });
    const { groups } = client.state.faults;
    expect(groups.length).toBeGreaterThan(4);
    for (const group of groups) {
      const faults = group.choices.slice(0, 2).map(({ choice }) => ({ choice }));
      expect(await client.ask("faults:set", { faults })).toEqual({ ok: true });
      expect(client.state.faults.put.every(({ place }) => !/[@:/]/.test(place))).toBe(true);
    }
  }
  client.close();
});

test("a plan file that is opened is kept in the own folder, found again, and not kept twice", async () => {
  const { url, plansDir } = await serveForTest({ benches: machineWithPorts() });
  const client = await WorkbenchClient.open(url);
  const own = planText.replace("Alder Creek loan hatchback", "Bay 3: ../../étude");
  expect(await client.ask("plan:upload", { fileName: "any.json", text: own })).toEqual({ ok: true });
  expect(client.state.plans.chosen).toMatchObject({ name: "Bay 3: ../../étude", origin: "own" });
  await client.must("plan:upload", { fileName: "again.json", text: own });
  expect(client.state.plans.list.filter((plan) => plan.origin === "own")).toHaveLength(1);
  expect(await readFile(join(plansDir, "bay-3-tude.json"), "utf8")).toBe(own);

  const second = await serveForTest({ benches: machineWithPorts(), plansDir });
  const other = await WorkbenchClient.open(second.url);
  expect(other.state.plans.list.map((plan) => plan.name)).toContain("Bay 3: ../../étude");
  client.close();
  other.close();
});

test("a plan file that cannot be used is explained by the place and the problem", async () => {
  const { url } = await serveForTest({ benches: machineWithPorts() });
  const client = await WorkbenchClient.open(url);
  const upload = (text: string) => client.ask("plan:upload", { fileName: "mine.json", text });
  expect(await upload("{ not json")).toMatchObject({ ok: false, code: "bad-plan" });
  expect(await upload(planText.replace('"pin": "RT"', '"pin": "LT"'))).toMatchObject({
    ok: false,
    problems: [{ path: "circuits[1].pin", message: expect.stringContaining("twice") }],
  });
  expect(await upload(planText.replace('"kind"', '"colour": 1, "kind"'))).toMatchObject({
    problems: [{ path: "colour", message: expect.stringContaining("unknown key") }],
  });
  expect(client.state.plans.list.every((plan) => plan.origin === "sample")).toBe(true);
  client.close();
});

test("a file in the plan folder that is no plan is named with its problems, and the others still load", async () => {
  const { url, plansDir } = await serveForTest({ benches: machineWithPorts() });
  await mkdir(plansDir, { recursive: true });
  await writeFile(join(plansDir, "broken.json"), "[]");
  const second = await serveForTest({ benches: machineWithPorts(), plansDir });
  const client = await WorkbenchClient.open(second.url);
  expect(client.state.plans.refused).toMatchObject([{ fileName: "broken.json" }]);
  expect(client.state.plans.list.length).toBeGreaterThan(0);
  expect(url).not.toBe(second.url);
  client.close();
});

test("a real bench is walked only when every check is ticked, and each walk asks anew", async () => {
  const { url } = await serveForTest({ benches: machineWithPorts() });
  const client = await WorkbenchClient.open(url);
  await client.until((state) => !state.benches.searching);
  await client.must("plan:choose", { planId: "sample:hatchback-round-6.json" });
  expect(client.state.checks.needed).toBe(false);
  await client.must("bench:choose", { benchId: benchOnAPort.id });
  expect(client.state.checks.needed).toBe(true);

  for (const { id } of client.state.checks.items) {
    expect(await client.ask("walk:start", {})).toMatchObject({ ok: false, code: "not-ready" });
    await client.must("check:tick", { checkId: id, ticked: true });
  }
  expect((await client.walkToTheEnd()).walk.end?.kind).toBe("judged");

  const after = await client.until((state) => state.checks.items.every((item) => !item.ticked));
  expect(after.hindrances).toHaveLength(1);
  client.close();
});

test("a port that is no bench is shown with its reason and cannot be chosen", async () => {
  const { url } = await serveForTest({ benches: machineWithPorts() });
  const client = await WorkbenchClient.open(url);
  await client.until((state) => state.benches.found.length === 3);
  const answer = await client.ask("bench:choose", { benchId: strangerOnAPort.id });
  expect(answer).toMatchObject({ ok: false, code: "bench-unusable", message: expect.stringContaining("not a bench") });
  client.close();
});

test("nothing can be changed while a walk goes on", async () => {
  const { url } = await serveForTest({ benches: machineWithPorts() });
  const client = await WorkbenchClient.open(url);
  await client.must("plan:choose", { planId: "sample:hatchback-round-6.json" });
  await client.must("walk:start", {});
  const answers = await Promise.all([
    client.ask("walk:start", {}),
    client.ask("plan:choose", { planId: "sample:umbilical-blade-7-to-round-6.json" }),
    client.ask("faults:set", { faults: [] }),
    client.ask("bench:choose", { benchId: "virtual" }),
    client.ask("plan:upload", { fileName: "mine.json", text: planText }),
  ]);
  expect(answers.map((answer) => (answer.ok ? "ok" : answer.code))).toEqual(Array(5).fill("walking"));
  client.close();
});

test("a bench that cannot be opened ends the walk as could-not-test, with what to do", async () => {
  const open = () => Promise.reject(Object.assign(new Error("the port has gone"), { code: "port-lost" }));
  const { url } = await serveForTest({ benches: { ...machineWithPorts(), open } });
  const client = await WorkbenchClient.open(url);
  await client.must("plan:choose", { planId: "sample:hatchback-round-6.json" });
  const { walk } = await client.walkToTheEnd();
  expect(walk.end).toMatchObject({ kind: "could-not-test", message: expect.stringContaining("the port has gone") });
  client.close();
});
