import { readFile } from "node:fs/promises";
import { checkPlan } from "@pinwalk/host/plan/check/check-plan.js";
import { cutList } from "@pinwalk/host/plan/cut-list.js";
import { parsePlan } from "@pinwalk/host/plan/parse-plan.js";
import { expect, test } from "vitest";
import { machineWithPorts } from "./bench-on-a-port.js";
import { serveForTest } from "./serve-for-test.js";
import { WorkbenchClient } from "./workbench-client.js";

test.each(["wagon-amber-turn-blade-7.json", "umbilical-blade-7-to-round-6.json"])(
  "%s comes with every remark of its check and its whole cut list, places in words",
  async (file) => {
    const parsed = parsePlan(
      JSON.parse(await readFile(new URL(`../../fixtures/plans/${file}`, import.meta.url), "utf8")),
    );
    if (!parsed.ok) throw new Error("the sample is no plan");
    const { url } = await serveForTest({ benches: machineWithPorts() });
    const client = await WorkbenchClient.open(url);
    await client.must("plan:choose", { planId: `sample:${file}` });
    const { chosen } = client.state.plans;

    const remarks = checkPlan(parsed.plan);
    expect(remarks.length).toBeGreaterThan(0);
    expect(chosen?.remarks.map(({ severity, text, source }) => [severity, text, source])).toEqual(
      remarks.map(({ severity, text, source }) => [severity, text, source]),
    );
    const list = cutList(parsed.plan);
    expect(chosen?.cutList.wires.map(({ metres }) => metres)).toEqual(list.wires.map(({ metres }) => metres));
    expect(chosen?.cutList.parts).toEqual([...list.terminals, ...list.diodes]);
    const places = [...(chosen?.remarks ?? []), ...(chosen?.cutList.wires.flatMap(({ pieces }) => pieces) ?? [])].map(
      ({ where }) => where,
    );
    expect(places.filter((place) => /[:/@]/.test(place))).toEqual([]);
    client.close();
  },
);
