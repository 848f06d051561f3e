import type { Readings } from "../../readings/readings.js";
import type { BackFeedView, RoundView, WalkView } from "../contract.js";
import type { NextCheckView } from "../next-check/next-check-contract.js";
import { type GuideStep, type GuideStepView, type GuideView, guideSteps, steppingStones } from "./guide-contract.js";

/** What the steps are told from. */
export interface GuideFacts {
  /** Checks that a person still has to tick; null where none are needed. */
  readonly unticked: number | null;
  readonly walk: WalkView;
  readonly readings: Readings | undefined;
  readonly backFeed: BackFeedView;
  readonly round: RoundView;
  /** Why the plan, or the walk, leaves nothing to watch or to look at. */
  readonly nothingToWatch: string | null;
  readonly nothingToLight: string | null;
  /** Circuits that a walk-round lights. */
  readonly lightable: number;
  readonly nextCheck: NextCheckView;
  readonly leftOut: Readonly<Partial<Record<GuideStep, string>>>;
  readonly kept: "not-yet" | "kept" | "changed";
}

type Told = Pick<GuideStepView, "state" | "detail">;

const done = (detail: string | null = null): Told => ({ state: "done", detail });
const toCome: Told = { state: "to-come", detail: null };
const leftOut = (detail: string): Told => ({ state: "left-out", detail });
const goes = (state: string): boolean => state === "running" || state === "stopping";

const phaseOf = { rest: "rest", "low-current": "low-current", drive: "drive" } as const;
const phases = ["connect", "rest", "low-current", "drive", "compare"] as const;

const tellers: Readonly<Record<GuideStep, (facts: GuideFacts) => Told>> = {
  "check-list": ({ unticked, walk }) => {
    if (unticked === null) return done("not needed on the virtual bench");
    if (walk.state !== "idle") return done("ticked before power went on");
    return unticked === 0 ? done("all ticked") : { state: "to-come", detail: `${unticked} to tick` };
  },
  rest: (facts) => phaseTold(facts, phaseOf.rest, liveWords(facts)),
  "low-current": (facts) => phaseTold(facts, phaseOf["low-current"], null),
  drive: (facts) => phaseTold(facts, phaseOf.drive, drivenWords(facts)),
  "back-feed": ({ backFeed, nothingToWatch, readings }) => {
    if (goes(backFeed.state)) return { state: "now", detail: null };
    if (nothingToWatch !== null) return leftOut(nothingToWatch);
    const watched = readings?.backFeed?.length ?? 0;
    const broken = backFeed.end !== null && backFeed.end.kind !== "judged";
    if (watched === 0) return broken ? { state: "stopped", detail: "nothing watched" } : toCome;
    const text = `${watched} of ${backFeed.asks.length} functions watched`;
    return broken ? { state: "stopped", detail: text } : done(text);
  },
  "walk-round": ({ round, nothingToLight, readings, lightable, walk }) => {
    if (goes(round.state)) return { state: "now", detail: null };
    if (nothingToLight !== null && walk.end?.kind === "judged") return leftOut(nothingToLight);
    const seen = new Set(readings?.seen?.map(({ pin }) => pin)).size;
    const text = `${seen} of ${lightable} circuits seen`;
    if (seen > 0 && seen >= lightable) return done(text);
    if (round.end?.kind === "judged") return done(text);
    return seen > 0 || round.end !== null ? { state: "stopped", detail: text } : toCome;
  },
  verdict: ({ walk, backFeed, round }) => {
    if (goes(backFeed.state) || goes(round.state) || walk.end?.kind !== "judged") return toCome;
    return done(walk.end.findings.overall);
  },
  "next-checks": ({ nextCheck: { end, history } }) => {
    const answered = `${history.length} answered`;
    if (end === null) return leftOut("nothing is left to tell apart");
    // Whoever has answered something and knows the group may mend it, or ask on.
    if (end.kind === "narrowing" && history.length > 0) return done(answered);
    if (end.kind === "asking" || end.kind === "narrowing")
      return { state: "to-come", detail: history.length > 0 ? answered : null };
    if (history.length > 0) return done(answered);
    return end.kind === "one-group" ? leftOut("one explanation stands out") : leftOut("no check would tell more");
  },
  keep: ({ kept }) =>
    kept === "kept" ? done("kept") : { state: "to-come", detail: kept === "changed" ? "more was seen since" : null },
};

/** The steps of an install check with their states, and the one that is next; none is while a step goes on. */
export function guideStepViews(facts: GuideFacts): Pick<GuideView, "steps" | "next"> {
  const judged = facts.walk.end?.kind === "judged";
  const told = guideSteps.map((step): GuideStepView => {
    const mayLeaveOut = steppingStones.some((one) => one === step);
    const afterWalk = mayLeaveOut || step === "verdict";
    const own = afterWalk && !judged && !planRules(step, facts) ? toCome : tellers[step](facts);
    const reason = facts.leftOut[step];
    return { step, mayLeaveOut, ...(isOpen(own) && reason !== undefined ? leftOut(reason) : own) };
  });
  const at = told.some(({ state }) => state === "now")
    ? -1
    : told.findIndex((row) => isOpen(row) && row.step !== "verdict");
  // The verdict stands when whatever could change it is behind.
  const early = told.some(
    (row, index) => index < guideSteps.indexOf("verdict") && (isOpen(row) || row.state === "now"),
  );
  const steps = told.map((row) => (early && row.step === "verdict" ? { ...row, ...toCome } : row));
  return { steps, next: steps[at]?.step ?? null };
}

const isOpen = ({ state }: Pick<Told, "state">): boolean => state === "to-come" || state === "stopped";

/** What the plan alone rules out is said from the beginning. */
function planRules(step: GuideStep, { nothingToWatch }: GuideFacts): boolean {
  return step === "back-feed" && nothingToWatch !== null;
}

function phaseTold({ walk }: GuideFacts, phase: (typeof phases)[number], detail: string | null): Told {
  if (walk.state === "idle") return toCome;
  const at = phases.indexOf(walk.phase);
  const own = phases.indexOf(phase);
  if (goes(walk.state)) {
    if (at > own) return done(detail);
    // Getting the bench ready belongs to the first look.
    return at === own || (phase === "rest" && at < own) ? { state: "now", detail } : toCome;
  }
  if (walk.end?.kind === "judged" || at > own) return done(detail);
  return at === own || (phase === "rest" && at < own) ? { state: "stopped", detail } : toCome;
}

function liveWords({ walk }: GuideFacts): string | null {
  const live = Object.entries(walk.pins).flatMap(([pin, { skipped }]) => (skipped?.includes("carries") ? [pin] : []));
  return live.length > 0 ? `${live.join(", ")} live: refused` : null;
}

function drivenWords({ walk }: GuideFacts): string | null {
  const driven = Object.values(walk.pins).filter(({ amps }) => amps !== undefined).length;
  return driven > 0 ? `${driven} ${driven === 1 ? "pin" : "pins"} driven` : null;
}
