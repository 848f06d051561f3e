import type { WalkView } from "@pinwalk/host/server/contract.js";
import { guideStepViews } from "@pinwalk/host/server/guided-check/guide-steps.js";
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
  nextCheck: { history: [], end: null },
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
