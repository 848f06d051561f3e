import { setImmediate } from "node:timers/promises";
import type { Findings } from "@pinwalk/host/diagnosis/findings.js";
import { judgeWithAnswers } from "@pinwalk/host/server/judging/judge-with-answers.js";
import { JudgingDesk } from "@pinwalk/host/server/judging/judging-desk.js";
import type { GivenAnswer } from "@pinwalk/host/server/next-check/next-check-contract.js";
import { describe, expect, onTestFinished, test } from "vitest";
import { vehicleJob } from "../records/sample-job.js";
import { machineWithPorts } from "./bench-on-a-port.js";
import { serveForTest } from "./serve-for-test.js";
import { WorkbenchClient } from "./workbench-client.js";

const benches = machineWithPorts();
const { plan, readings } = vehicleJob;

function desk(made = new JudgingDesk()): JudgingDesk {
  onTestFinished(() => made.close());
  return made;
}

/** A desk whose thread does this with a `task`; `judged()` answers it with nothing in it. */
function deskThatDoes(whatItDoes: string): JudgingDesk {
  const script = `import { parentPort } from "node:worker_threads";
    const judged = () => parentPort.postMessage({ judged: { findings: {}, counts: [] } });
    parentPort.on("message", async (task) => { ${whatItDoes}; });`;
  return desk(new JudgingDesk(new URL(`data:text/javascript,${encodeURIComponent(script)}`)));
}

/** One that judges, and never comes to an end with an answer. */
function deskWithoutAnswers(): JudgingDesk {
  const judge = import.meta.resolve("@pinwalk/host/server/judging/judge-with-answers.js");
  return deskThatDoes(`if (task.answers.length > 0) return;
    const { judgeWithAnswers } = await import("${judge}");
    parentPort.postMessage({ judged: judgeWithAnswers(task.plan, task.readings, []) })`);
}

/** The first thing that is asked, with the first of what may come of it. */
function answerTo({ nextChecks }: Findings): GivenAnswer {
  const [asked] = nextChecks;
  const [outcome] = asked?.outcomes ?? [];
  if (!asked || !outcome) throw new Error("nothing is asked");
  const { check, text: question } = asked;
  return { check, question, answer: outcome.answer, words: outcome.text, answeredAt: "2026-11-25T10:00:00.000Z" };
}

describe("judging in a thread of its own", () => {
  test("finds what is found here, answers that count and answers that do not included, and this thread goes on", async () => {
    const judging = desk();
    const answer = answerTo(judgeWithAnswers(plan, readings, []).findings);
    const answers = [{ ...answer, answer: "no such outcome" }, answer];
    let settled = false;
    const found = judging.judge({ plan, readings, answers }).finally(() => {
      settled = true;
    });
    let turns = 0;
    for (; !settled; turns += 1) await setImmediate();
    expect(await found).toEqual(judgeWithAnswers(plan, readings, answers));
    expect((await found).counts).toEqual([false, true]);
    // Judged here, it would be one turn.
    expect(turns).toBeGreaterThan(20);
  });

  const noAnswers = { plan, readings, answers: [] };
  const oneAnswer = {
    ...noAnswers,
    answers: [{ check: {}, answer: "yes", question: "?", words: "yes", answeredAt: "2026-11-25T10:00:00Z" }],
  };

  test("what is overtaken is given up, under way or waiting, and the next is judged all the same", async () => {
    const judging = deskThatDoes("if (task.answers.length === 0) judged()");
    const [first, second] = [new AbortController(), new AbortController()];
    const underWay = judging.judge(oneAnswer, first.signal);
    const waiting = judging.judge(oneAnswer, second.signal);
    const next = judging.judge(noAnswers);
    second.abort();
    await expect(waiting).rejects.toMatchObject({ code: "judging-ended" });
    first.abort();
    await expect(underWay).rejects.toMatchObject({ code: "judging-ended" });
    expect(await next).toEqual({ findings: {}, counts: [] });
  });

  test.each([
    ["ends", "process.exit(0)"],
    ["throws", "throw new Error('out of order')"],
  ])("a thread that %s is said in words, and the next task gets another thread", async (_how, breakDown) => {
    const judging = deskThatDoes(`if (task.answers.length > 0) { ${breakDown}; } else judged()`);
    const broken = judging.judge(oneAnswer);
    const next = judging.judge(noAnswers);
    await expect(broken).rejects.toMatchObject({
      code: "judging-broke-down",
      message: expect.stringContaining("says nothing about the wiring"),
    });
    expect(await next).toEqual({ findings: {}, counts: [] });
  });
});

describe("while a server judges", () => {
  const hatchback = { planId: "sample:hatchback-round-6.json" };

  async function clientOf(judging: JudgingDesk): Promise<WorkbenchClient> {
    const { url } = await serveForTest({ benches, judging });
    const client = await WorkbenchClient.open(url);
    onTestFinished(() => client.close());
    await client.must("plan:choose", hatchback);
    await client.must("faults:set", { faults: [{ choice: "open@lamp:left-rear.bright" }] });
    return client;
  }

  test("stop is answered and ends it: everything is off, what was measured stays", async () => {
    const client = await clientOf(deskThatDoes(""));
    await client.must("walk:start", {});
    await client.until(({ walk }) => walk.phase === "compare");
    await client.must("walk:stop", {});
    const { walk } = await client.until((state) => state.walk.state === "ended");
    expect(walk).toMatchObject({ hasReadings: true, end: { kind: "stopped" } });
    expect(walk.end).toMatchObject({ message: expect.stringContaining("All outputs are off.") });
  });

  test("a thread that breaks down is no verdict: it is said, and the bench is free for another walk", async () => {
    const client = await clientOf(deskThatDoes("process.exit(1)"));
    const { walk } = await client.walkToTheEnd();
    expect(walk).toMatchObject({ hasReadings: true, end: { kind: "could-not-test", code: "judging-broke-down" } });
    expect(walk.end).toMatchObject({ message: expect.stringContaining("All outputs are off.") });
    expect(client.state.hindrances).toEqual([]);
    await client.must("walk:start", {});
  });

  test("an answer is weighed: no other is taken meanwhile, and a new walk overtakes it", async () => {
    const client = await clientOf(deskWithoutAnswers());
    const { walk } = await client.walkToTheEnd();
    if (walk.end?.kind !== "judged") throw new Error("not judged");
    const { check, answer } = answerTo(walk.end.findings);
    const weighed = client.ask("next-check:answer", { check, answer });
    expect(await client.ask("next-check:answer", { check, answer })).toMatchObject({ ok: false, code: "weighing" });
    expect(await client.ask("round:start", {})).toMatchObject({ ok: false, code: "weighing" });
    await client.must("walk:start", {});
    expect(await weighed).toMatchObject({ ok: false, code: "judging-ended" });
    expect(client.state.nextCheck.history).toEqual([]);
  });
});
