import type { WalkView } from "@pinwalk/host/server/contract.js";
import { guideStepViews } from "@pinwalk/host/server/guided-check/guide-steps.js";
import { nextCheckView } from "@pinwalk/host/server/next-check/next-check-view.js";
import { expect, test } from "vitest";

type Facts = Parameters<typeof guideStepViews>[0];
const job = { state: "idle", hindrance: null, end: null } as const;

const walk: WalkView = {
  number: 0,
  state: "idle",
  benchName: "Bench 0007",
  planName: "Any",
  phase: "connect",
  step: 0,
  steps: 0,
  pin: null,
  pins: {},
  end: null,
  hasReadings: false,
};
const judged: WalkView = {
  ...walk,
  number: 1,
  state: "ended",
  phase: "compare",
  pins: { LT: { amps: 2 }, RT: { skipped: "it carries 12.61 V although nothing is driven; find out what feeds it" } },
  end: {
    kind: "judged",
    findings: {
      format: "pinwalk-findings/1",
      overall: "fail",
      circuits: [],
      explanations: [],
      groups: [],
      nextChecks: [],
      notJudged: [],
    },
  },
};
const before: Facts = {
  unticked: 6,
  walk,
  readings: undefined,
  backFeed: { ...job, step: null, asks: [], pins: [], marginVolts: 0.5, simulated: null },
  round: { ...job, step: 0, steps: 0, light: null, darkBecause: null, controller: null, lamps: [], simulated: null },
  nothingToWatch: null,
  nothingToLight: null,
  lightable: 2,
  nextCheck: { history: [], toDrive: [], end: null },
  leftOut: {},
  kept: "not-yet",
};
const told = (facts: Facts) =>
  Object.fromEntries(guideStepViews(facts).steps.map(({ step, state, detail }) => [step, [state, detail]]));

test("the check list comes first, and nothing is next while a step goes on", () => {
  expect(guideStepViews(before).next).toBe("check-list");
  expect(guideStepViews({ ...before, unticked: 0 }).next).toBe("rest");
  const running = { ...before, unticked: 0, walk: { ...walk, state: "running", phase: "drive" } as const };
  expect(guideStepViews(running).next).toBeNull();
  expect(told(running)).toMatchObject({
    "low-current": ["done", null],
    drive: ["now", null],
    "back-feed": ["to-come", null],
  });
});

test("what the plan leaves nothing to do of is left out with its reason, from the beginning", () => {
  const why = "This plan shares no lamp with the vehicle's own functions.";
  expect(told({ ...before, nothingToWatch: why })["back-feed"]).toEqual(["left-out", why]);
  const dark = "The last walk drove no circuit to its end, so there is nothing to light.";
  expect(told({ ...before, walk: judged, nothingToLight: dark })["walk-round"]).toEqual(["left-out", dark]);
});

test("a live pin that was refused stands at the look at rest", () => {
  expect(told({ ...before, walk: judged })).toMatchObject({
    rest: ["done", "RT live: refused"],
    drive: ["done", "1 pin driven"],
  });
});

test("a person's reason stands at a step until it is done all the same, and only where one may leave it out", () => {
  const leftOut = { "back-feed": "the battery is flat", drive: "no time" };
  const facts = { ...before, walk: judged, leftOut };
  expect(told(facts)).toMatchObject({
    "back-feed": ["left-out", "the battery is flat"],
    drive: ["done", "1 pin driven"],
  });
  expect(guideStepViews(facts).next).toBe("walk-round");
  const watching = { ...facts, backFeed: { ...facts.backFeed, state: "running" } as const };
  expect(told(watching)["back-feed"]).toEqual(["now", null]);
});

test("the dialogue asks until one group is left, then where in it, and says when nothing tells groups apart", () => {
  const group = (number: number, probability: number) => ({
    group: number,
    probability,
    text: `group ${number}`,
    members: 2,
  });
  const look = { check: { look: "left-rear.bright" }, bits: 0.9, text: "Look.", outcomes: [] };
  const endOf = (groups: ReturnType<typeof group>[], checks: (typeof look)[]) => {
    if (judged.end?.kind !== "judged") throw new Error("the sample is judged");
    return nextCheckView({ ...judged.end.findings, groups, nextChecks: checks }, [], [], []).end;
  };
  // Shares of what is listed count: the list may leave out some of the belief.
  expect(endOf([group(1, 0.5), group(2, 0.3)], [look])).toEqual({ kind: "asking" });
  expect(endOf([group(1, 0.6), group(2, 0.01)], [look])).toEqual({ kind: "narrowing", text: "group 1" });
  expect(endOf([group(1, 0.6), group(2, 0.01)], [])).toEqual({ kind: "one-group", text: "group 1" });
  expect(endOf([group(1, 0.5), group(2, 0.3)], [])).toMatchObject({
    kind: "cannot-tell",
    text: expect.stringContaining("2 groups of explanations are left"),
  });
  const stepOf = (end: Facts["nextCheck"]["end"], answers: number) => {
    const given = { question: "Look.", words: "dark", answeredAt: "2026-01-05T10:00:00Z", counts: true };
    return told({ ...before, walk: judged, nextCheck: { history: Array(answers).fill(given), toDrive: [], end } })[
      "next-checks"
    ];
  };
  expect(stepOf({ kind: "narrowing", text: "group 1" }, 0)).toEqual(["to-come", null]);
  expect(stepOf({ kind: "narrowing", text: "group 1" }, 1)).toEqual(["done", "1 answered"]);
  expect(stepOf({ kind: "one-group", text: "group 1" }, 0)).toEqual(["left-out", "one explanation stands out"]);
});

test("the verdict stands when whatever could change it is behind, and the record is the last step", () => {
  expect(told({ ...before, walk: judged }).verdict).toEqual(["to-come", null]);
  const behind = { ...before, walk: judged, leftOut: { "back-feed": "no time", "walk-round": "no time" } };
  expect(told(behind)).toMatchObject({
    verdict: ["done", "fail"],
    "next-checks": ["left-out", "nothing is left to tell apart"],
  });
  expect(guideStepViews(behind).next).toBe("keep");
  expect(guideStepViews({ ...behind, kept: "kept" }).next).toBeNull();
  expect(guideStepViews({ ...behind, kept: "changed" }).next).toBe("keep");
});
