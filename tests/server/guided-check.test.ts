import { mkdir, readdir, readFile, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import type { GuideView } from "@pinwalk/host/server/guided-check/guide-contract.js";
import { expect, test } from "vitest";
import { benchOnAPort, machineWithPorts } from "./bench-on-a-port.js";
import { keep } from "./records-over-http.js";
import { type ServedForTest, serveForTest } from "./serve-for-test.js";
import { WorkbenchClient } from "./workbench-client.js";

const hatchback = "sample:hatchback-round-6.json";
const openLamp = { choice: "open@lamp:left-rear.bright" };

const checksOf = ({ recordsPath }: ServedForTest) => join(dirname(recordsPath), "unfinished-checks");
const stateOf = ({ steps }: GuideView, step: string) => steps.find((row) => row.step === step)?.state;
const detailOf = ({ steps }: GuideView, step: string) => steps.find((row) => row.step === step)?.detail;

async function walked(served: ServedForTest, faults = [openLamp]): Promise<WorkbenchClient> {
  const client = await WorkbenchClient.open(served.url);
  await client.must("plan:choose", { planId: hatchback });
  await client.must("faults:set", { faults });
  await client.walkToTheEnd();
  await client.until(({ round }) => round.hindrance === null);
  return client;
}

/** The same computer, started again. */
async function again(served: ServedForTest, benches = machineWithPorts()): Promise<WorkbenchClient> {
  await served.close();
  const { plansDir, recordsPath } = served;
  const next = await serveForTest({ benches, plansDir, recordsPath });
  return WorkbenchClient.open(next.url);
}

test("a check outlives the server: readings, answers and what was left out are there when it is taken up again", async () => {
  const served = await serveForTest({ benches: machineWithPorts() });
  const client = await walked(served);
  const before = client.state.walk.end;
  if (before?.kind !== "judged") throw new Error("the walk was not judged");
  const [asked] = before.findings.nextChecks;
  const [outcome] = asked?.outcomes ?? [];
  if (!asked || !outcome) throw new Error("nothing is asked");
  await client.must("guide:leave-out", { step: "back-feed", reason: "the battery is flat" });
  await client.must("next-check:answer", { check: asked.check, answer: outcome.answer });
  const answered = client.state.walk.end;
  expect(answered).not.toEqual(before);
  client.close();

  const late = await again(served);
  const [left] = late.state.guide.unfinished;
  expect(left).toMatchObject({ planName: "Alder Creek loan hatchback", done: "3 pins driven, 1 check answered" });
  await late.must("guide:take-up", { checkId: left?.id ?? "" });
  const { walk, guide, nextCheck } = late.state;
  expect(walk.end).toEqual(answered);
  expect([guide.unfinished, guide.takenUp?.changed]).toEqual([[], null]);
  expect(detailOf(guide, "back-feed")).toBe("the battery is flat");
  expect(nextCheck.history).toMatchObject([{ question: asked.text, words: outcome.text, counts: true }]);

  await late.must("next-check:undo", { index: 0 });
  expect(late.state.walk.end).toEqual(before);
  late.close();
});

test("of a walk that was broken off, what it had measured is there, and it asks to be walked again", async () => {
  const served = await serveForTest({ benches: machineWithPorts() });
  const client = await WorkbenchClient.open(served.url);
  await client.must("plan:choose", { planId: hatchback });
  await client.must("walk:start", {});
  await client.until(({ walk }) => Object.values(walk.pins).some(({ amps }) => amps !== undefined));
  client.close();

  const late = await again(served);
  const [left] = late.state.guide.unfinished;
  expect(left?.done).toMatch(/^[12] pins? driven, walk broken off$/);
  await late.must("guide:take-up", { checkId: left?.id ?? "" });
  const { walk, guide } = late.state;
  expect(walk.end).toMatchObject({ kind: "stopped", message: expect.stringContaining("walk again") });
  expect(Object.values(walk.pins).some(({ amps }) => amps !== undefined)).toBe(true);
  expect([guide.next, stateOf(guide, "drive")]).toEqual(["drive", "stopped"]);
  late.close();
});

test("a check whose bench is not there any more says so, and adds nothing before a walk", async () => {
  const served = await serveForTest({ benches: machineWithPorts() });
  const client = await WorkbenchClient.open(served.url);
  await client.until((state) => !state.benches.searching);
  await client.must("plan:choose", { planId: hatchback });
  await client.must("bench:choose", { benchId: benchOnAPort.id });
  for (const { id } of client.state.checks.items) await client.must("check:tick", { checkId: id, ticked: true });
  await client.walkToTheEnd();
  client.close();

  const late = await again(served, { ...machineWithPorts(), search: async () => [] });
  await late.must("guide:take-up", { checkId: late.state.guide.unfinished[0]?.id ?? "" });
  expect(late.state.guide.takenUp?.changed).toContain("Bench 0007 is not connected");
  expect(late.state.round.hindrance).toContain("walk again first");
  expect(late.state.walk.end?.kind).toBe("judged");
  late.close();
});

test("what is no check of this format is passed over and left alone; one can be put away; bounds hold", async () => {
  const served = await serveForTest({ benches: machineWithPorts() });
  const client = await walked(served, []);
  client.close();
  await served.close();
  const folder = checksOf(served);
  const [name = ""] = await readdir(folder);
  const whole = await readFile(join(folder, name), "utf8");
  const strange = {
    "check-1.check.json": whole.replace("pinwalk-check/1", "pinwalk-check/2"),
    "check-2.check.json": whole.slice(0, 200),
    "check-3.check.json": whole.replace(/"id":"[^"]*"/, '"id":"../../etc"'),
    "check-4.check.json": `${whole}${" ".repeat(1_000_001)}`,
    "check-5.check.json": whole,
  };
  await mkdir(folder, { recursive: true });
  for (const [file, text] of Object.entries(strange)) await writeFile(join(folder, file), text);

  const late = await again(served);
  expect(late.state.guide.unfinished).toHaveLength(1);
  const checkId = late.state.guide.unfinished[0]?.id ?? "";
  await late.must("guide:put-away", { checkId });
  expect(late.state.guide.unfinished).toEqual([]);
  expect((await readdir(folder)).sort()).toEqual(Object.keys(strange));
  expect(await late.ask("guide:take-up", { checkId })).toMatchObject({ ok: false, code: "no-such-check" });
  expect(await late.say("guide:take-up", { checkId: "../store" })).toMatchObject({ ok: false, code: "bad-command" });
  late.close();
});

test("a walk-round that is stopped keeps its answers, the next lights the rest alone, and enough is enough", async () => {
  const served = await serveForTest({ benches: machineWithPorts() });
  const client = await walked(served, []);
  const glowing = async (step: number) => {
    const { round } = await client.until(({ round: now }) => {
      const glows = Object.values(now.simulated ?? {}).some((glow) => glow > 0.1);
      return now.light === "lit" && now.step === step && glows;
    });
    return Object.entries(round.simulated ?? {}).flatMap(([lamp, glow]) => (glow > 0.1 ? [lamp] : []));
  };
  await client.must("round:start", {});
  await client.must("round:answer", { step: 1, lit: await glowing(1) });
  await glowing(2);
  await client.must("walk:stop", {});
  const stopped = await client.until(({ round }) => round.state === "ended");
  expect(stopped.round.end).toMatchObject({ kind: "stopped", added: true });
  expect(detailOf(stopped.guide, "walk-round")).toBe("1 of 3 circuits seen");

  await client.must("round:start", {});
  await client.until(({ round }) => round.light === "lit" && round.steps === 2);
  await client.must("round:answer", { step: 1, lit: await glowing(1) });
  await glowing(2);
  await client.must("round:finish", {});
  const { round, guide } = await client.until((state) => state.round.state === "ended");
  expect([round.end?.kind, stateOf(guide, "walk-round"), detailOf(guide, "walk-round")]).toEqual([
    "judged",
    "done",
    "2 of 3 circuits seen",
  ]);
  client.close();
});

test("a check that has become a record is finished, and its record says what was answered", async () => {
  const served = await serveForTest({ benches: machineWithPorts() });
  const client = await walked(served);
  const { end } = client.state.walk;
  const asked = end?.kind === "judged" ? end.findings.nextChecks[0] : undefined;
  const outcome = asked?.outcomes?.[0];
  await client.must("next-check:answer", { check: asked?.check ?? {}, answer: outcome?.answer ?? "" });
  await client.must("guide:leave-out", { step: "walk-round", reason: "no light behind the vehicle" });
  const { body } = await keep(served.url, client.state.walk.number);
  await client.until(({ guide }) => stateOf(guide, "keep") === "done");
  const json = await (await fetch(`${served.url}/records/record/${body.hash}/record.json`)).text();
  expect(json).toContain(JSON.stringify(asked?.text));
  expect(json).toContain("no light behind the vehicle");
  client.close();
  const late = await again(served);
  expect(late.state.guide.unfinished).toEqual([]);
  late.close();
});
