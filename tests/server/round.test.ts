import type { RoundView } from "@pinwalk/host/server/contract.js";
import { expect, test } from "vitest";
import { machineWithPorts } from "./bench-on-a-port.js";
import { serveForTest } from "./serve-for-test.js";
import { WorkbenchClient } from "./workbench-client.js";

const glowing = ({ simulated }: RoundView) =>
  Object.entries(simulated ?? {}).flatMap(([lamp, glow]) => (glow > 0.1 ? [lamp] : []));

async function walkedClient(): Promise<{ url: string; client: WorkbenchClient }> {
  const { url } = await serveForTest({ benches: machineWithPorts() });
  const client = await WorkbenchClient.open(url);
  await client.must("plan:choose", { planId: "sample:hatchback-round-6.json" });
  await client.walkToTheEnd();
  await client.until(({ round }) => round.hindrance === null);
  return { url, client };
}

const litNow = (client: WorkbenchClient, step: number) =>
  client.until(({ round }) => round.light === "lit" && round.step === step && glowing(round).length > 0);

test("the answers of a walk-round make a healthy vehicle pass, and no state on the way says which pin is lit", async () => {
  const { client } = await walkedClient();
  expect(client.state.walk.end).toMatchObject({ findings: { overall: "unsure" } });
  const told: string[] = [];
  client.socket.on("changed", (sections) => told.push(JSON.stringify(sections)));
  await client.must("round:start", {});
  for (const step of [1, 2, 3]) {
    const { round } = await litNow(client, step);
    await client.must("round:answer", { step, lit: glowing(round) });
  }
  const before = told.length;
  const { round, walk } = await client.until((state) => state.round.state === "ended");
  expect(round.end).toEqual({ kind: "judged", overall: "pass", added: true });
  expect(walk.end).toMatchObject({ findings: { overall: "pass" } });
  expect(before).toBeGreaterThan(3);
  for (const text of told.slice(0, before)) expect(text).not.toMatch(/"pin"|LT|RT|TM/);
  client.close();
});

test("when nothing was sure a walk-round adds nothing, says so, and is not what comes next again", async () => {
  const { client } = await walkedClient();
  await client.must("guide:leave-out", { step: "back-feed", reason: "no battery" });
  await client.until(({ guide }) => guide.next === "walk-round");
  await client.must("round:start", {});
  for (const step of [1, 2, 3]) {
    await litNow(client, step);
    await client.must("round:answer", { step, lit: null });
  }
  const { round } = await client.until((state) => state.round.state === "ended");
  expect(round.end).toEqual({ kind: "judged", overall: "unsure", added: false });
  const { guide } = await client.until((state) => state.guide.next !== null && state.guide.next !== "walk-round");
  expect(guide.steps.find(({ step }) => step === "walk-round")?.detail).toBe("0 of 3 circuits seen");
  client.close();
});

test("a plan of 24 V says at the walk-round itself that the bench is none for it", async () => {
  const { url } = await serveForTest({ benches: machineWithPorts() });
  const client = await WorkbenchClient.open(url);
  await client.must("plan:choose", { planId: "sample:tractor-24-volt-round-7.json" });
  const { round } = await client.until(({ plans }) => plans.chosen?.nominalVolts === 24);
  expect(round.hindrance).toMatch(/^This plan is for 24 V, and the bench supplies and measures 12 V/);
  expect(await client.ask("round:start", {})).toMatchObject({ ok: false, code: "not-ready" });
  client.close();
});

test("the drawing has each lamp on its side, with its filaments told apart where there are two", async () => {
  const { client } = await walkedClient();
  expect(client.state.round.lamps).toEqual([
    {
      name: "left rear",
      side: "left",
      filaments: [
        { id: "left-rear.bright", word: "Bright" },
        { id: "left-rear.dim", word: "Dim" },
      ],
    },
    {
      name: "right rear",
      side: "right",
      filaments: [
        { id: "right-rear.bright", word: "Bright" },
        { id: "right-rear.dim", word: "Dim" },
      ],
    },
  ]);
  client.close();
});

test("only the browser that looks may answer; when it is gone the light is out, and another can take over", async () => {
  const { url, client: phone } = await walkedClient();
  const desk = await WorkbenchClient.open(url);
  await phone.must("round:start", {});
  await desk.until(({ round }) => round.light === "lit");
  expect(await desk.ask("round:answer", { step: 1, lit: [] })).toMatchObject({ ok: false, code: "not-lit" });
  phone.close();
  const gone = await desk.until(({ round }) => round.light === "dark");
  expect(gone.round.darkBecause).toBe("left");
  await desk.must("round:light", {});
  await desk.until(({ round }) => round.light === "lit");
  expect(desk.state.round.controller).toBe(desk.socket.id);
  await desk.must("round:answer", { step: 1, lit: null });
  await desk.must("walk:stop", {});
  const { round } = await desk.until((state) => state.round.state === "ended");
  expect(round.end).toMatchObject({ kind: "stopped", message: expect.stringContaining("All outputs are off") });
  desk.close();
});

test("ten seconds without a sign of life end the light", async () => {
  const { client } = await walkedClient();
  await client.must("round:start", {});
  const { round } = await client.until((state) => state.round.light === "dark");
  expect(round.darkBecause).toBe("no-sign-of-life");
  await client.must("walk:stop", {});
  await client.until((state) => state.round.state === "ended");
  client.close();
});

test("an answer that names a lamp the plan does not have, or a step that is not lit, is refused", async () => {
  const { client } = await walkedClient();
  expect(await client.ask("round:light", {})).toMatchObject({ ok: false, code: "not-going" });
  await client.must("round:start", {});
  await client.until(({ round }) => round.light === "lit");
  expect(await client.ask("round:answer", { step: 1, lit: ["front.bright"] })).toMatchObject({ code: "no-such-lamp" });
  expect(await client.ask("round:answer", { step: 2, lit: [] })).toMatchObject({ code: "not-lit" });
  await client.must("walk:stop", {});
  client.close();
});
