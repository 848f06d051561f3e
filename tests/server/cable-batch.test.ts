import { readFile } from "node:fs/promises";
import type { Findings } from "@pinwalk/host/diagnosis/findings.js";
import type { CablePlan } from "@pinwalk/host/plan/plan-schema.js";
import type { Readings } from "@pinwalk/host/readings/readings.js";
import { cableResult } from "@pinwalk/host/server/cable-batch/cable-result.js";
import { nextSerial } from "@pinwalk/host/server/cable-batch/next-serial.js";
import { expect, test } from "vitest";
import { benchOnAPort, machineWithPorts } from "./bench-on-a-port.js";
import { serveForTest } from "./serve-for-test.js";
import { WorkbenchClient } from "./workbench-client.js";

const planFile = new URL("../../fixtures/plans/umbilical-blade-7-to-round-6.json", import.meta.url);
const plan = JSON.parse(await readFile(planFile, "utf8")) as CablePlan;

test.each([
  ["1", "2"],
  ["W48-009", "W48-010"],
  ["W48-099/B", "W48-100/B"],
  ["999", "1000"],
  ["spare", "spare-2"],
  ["7".repeat(40), `${"7".repeat(39)}8`],
])("after the cable %s comes %s", (serial, next) => {
  expect(nextSerial(serial)).toBe(next);
});

/** 12 V, loads of 47 Ω at the far end, and figures that can be worked out by hand. */
function readingsOf(drives: Readings["drives"]): Readings {
  const uncertainty = { relative: 0, offset: 0.001 };
  return {
    format: "pinwalk-readings/1",
    takenAt: "2026-01-05T10:00:00Z",
    tester: { id: "b", firmware: "1", uncertainty: { amps: uncertainty, volts: uncertainty } },
    source: { volts: 12.6, ohms: 0.1, lowVolts: 4.4, lowOhms: 1000, senseOhms: 133_000, tripAmps: 10 },
    drives,
  };
}
const findings: Findings = {
  format: "pinwalk-findings/1",
  overall: "fail",
  circuits: [],
  explanations: [],
  groups: [],
  nextChecks: [],
  notJudged: [],
};

test("resistance, ground and drop are what the volts at both ends say, by hand", () => {
  const quiet = { RT: 0.025, TM: 0.025, S: 0.025, A: 0.025, GD: 0.025 };
  const drives = [{ pin: "LT", amps: 0.25, volts: { LT: 12.5 }, farVolts: { ...quiet, LT: 12.4 } }];
  const result = cableResult(plan, readingsOf(drives), findings, 1);
  const row = result.conductors.find(({ near }) => near === "LT");
  // (12.5 − 12.4) V / 0.25 A; 0.025 V / 0.25 A on the ground; 5 A is the blade connector's limit for a signal.
  expect(row?.ohms?.value).toBeCloseTo(0.4, 9);
  expect(result.ground.ohms?.value).toBeCloseTo(0.1, 9);
  expect(row?.rating).toEqual({ amps: 5, from: "near terminal LT" });
  expect(row?.drop?.volts).toBeCloseTo(2.5, 9);
  expect(row?.drop?.percent).toBeCloseTo(20.833, 2);
  expect(row?.cells.map(({ far, kind }) => `${far} ${kind}`)).toEqual([
    "LT through",
    "RT apart",
    "TM apart",
    "S apart",
    "A apart",
  ]);
  // What was not driven is not called open.
  expect(result.conductors.find(({ near }) => near === "RT")?.cells.every(({ kind }) => kind === "unknown")).toBe(true);
});

test("a current that comes out elsewhere, in two places or nowhere is shown where it is, and gives no resistance", () => {
  const none = { LT: 0, RT: 0, TM: 0, S: 0, A: 0, GD: 0 };
  const drives = [
    { pin: "LT", amps: 0.26, volts: { LT: 12.5 }, farVolts: { ...none, RT: 12.45 } },
    { pin: "RT", amps: 0.52, volts: { RT: 12.5 }, farVolts: { ...none, RT: 12.4, TM: 12.3 } },
    { pin: "TM", amps: 0, volts: { TM: 12.6 }, farVolts: none },
  ];
  const { conductors } = cableResult(plan, readingsOf(drives), findings, 1);
  const told = conductors.slice(0, 3).map(({ near, endsAt, ohms }) => [near, endsAt, ohms]);
  expect(told).toEqual([
    ["LT", ["RT"], null],
    ["RT", ["RT", "TM"], null],
    ["TM", [], null],
  ]);
  // 0.05 V are lost on the way to a load of 47 Ω at 12.45 V.
  expect(conductors[0]?.cells.find(({ far }) => far === "RT")?.ohms).toBeCloseTo((0.05 * 47) / 12.45, 6);
});

test("what was ticked holds for a batch and no longer; a cable that was not tested keeps its number and is no record", async () => {
  const { url } = await serveForTest({ benches: machineWithPorts() });
  const client = await WorkbenchClient.open(url);
  await client.until((state) => !state.benches.searching);
  expect(await client.ask("batch:begin", { batch: "W48", person: "P. Quill" })).toMatchObject({ code: "no-cable" });
  await client.must("plan:choose", { planId: "sample:umbilical-blade-7-to-round-6.json" });
  await client.must("bench:choose", { benchId: benchOnAPort.id });
  await client.must("batch:begin", { batch: "W48", person: "P. Quill", serial: "C-1" });
  expect(await client.ask("cable:check", {})).toMatchObject({ ok: false, code: "not-ready" });
  for (const { id } of client.state.checks.items) await client.must("check:tick", { checkId: id, ticked: true });

  await client.must("cable:check", {});
  await client.until(({ walk }) => walk.state === "running");
  await client.must("walk:stop", {});
  const stopped = await client.until(({ cable }) => cable.batch?.problem !== null && cable.batch?.nowSerial === null);
  expect(stopped.cable.batch).toMatchObject({
    nextSerial: "C-1",
    tested: 0,
    problem: "C-1 was not tested, and not kept.",
  });

  await client.must("cable:check", {});
  expect(await client.ask("batch:end", {})).toMatchObject({ ok: false, code: "walking" });
  const kept = await client.until(({ cable }) => cable.batch?.tested === 1);
  expect(kept.cable.batch).toMatchObject({
    nextSerial: "C-2",
    problem: null,
    rows: [{ serial: "C-1", verdict: "pass" }],
  });
  expect(kept.cable.hindrance).toBeNull();
  await client.must("batch:end", {});
  await client.until(({ cable }) => cable.hindrance?.startsWith("Tick") === true);

  // The batch is in the store: begun again, it goes on after its last cable.
  await client.must("batch:begin", { batch: "W48", person: "P. Quill" });
  expect(client.state.cable.batch).toMatchObject({ nextSerial: "C-2", tested: 1 });
  client.close();
});
