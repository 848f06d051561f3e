import type { GuideStep } from "@pinwalk/host/server/guided-check/guide-contract.js";

interface GuideWords {
  readonly word: string;
  /** What the button says that leads to it. */
  readonly lead: string;
  /** The same where it was begun and broken off. */
  readonly goOn: string;
}

/** The steps of an install check. */
export const guideWords: Readonly<Record<GuideStep, GuideWords>> = {
  "check-list": { word: "Check list", lead: "Next: tick the check list", goOn: "Next: tick the check list" },
  rest: { word: "At rest", lead: "Next: measure every pin", goOn: "Next: measure every pin again" },
  "low-current": { word: "Low current", lead: "Next: measure every pin", goOn: "Next: measure every pin again" },
  drive: { word: "Drive", lead: "Next: measure every pin", goOn: "Next: measure every pin again" },
  "back-feed": { word: "Back-feed", lead: "Next: back-feed watch", goOn: "Next: go on with the watch" },
  "walk-round": {
    word: "Walk-round",
    lead: "Next: walk-round",
    goOn: "Next: go on with the walk-round",
  },
  verdict: { word: "Verdict", lead: "Next: the verdict", goOn: "Next: the verdict" },
  "next-checks": { word: "Next checks", lead: "Next: find out which it is", goOn: "Next: find out which it is" },
  keep: { word: "Record", lead: "Next: keep a record", goOn: "Next: keep a record" },
};

export const guideStateWords = {
  done: "done",
  now: "now",
  "to-come": "to come",
  "left-out": "left out",
  stopped: "broken off",
} as const;
