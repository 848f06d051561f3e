import type { Findings } from "../diagnosis/findings.js";
import type { WalkEvent, WalkOutcome } from "../procedures/walk-events.js";
import type { Readings } from "../readings/readings.js";
import type { JobEnd, PinProgress, WalkEnd, WalkView } from "./contract.js";

/** Why a walk was cancelled: by a person, because whoever controlled it is gone, alone or not, or because the server ends. */
export type StopReason = "asked" | "nobody-left" | "controller-lost" | "handed-over" | "closing";

/** Before the first walk. */
export const noWalk: WalkView = {
  number: 0,
  state: "idle",
  benchName: "",
  planName: "",
  phase: "connect",
  step: 0,
  steps: 0,
  pin: null,
  pins: {},
  end: null,
  hasReadings: false,
};

/** The view of a walk after one more of its events. Samples of a drive do not change it. */
export function foldWalkEvent(view: WalkView, event: WalkEvent, stopReason: StopReason | null): WalkView {
  switch (event.kind) {
    case "phase":
      return { ...view, phase: event.phase, step: 0, steps: event.steps, pin: null };
    case "step":
      return { ...view, phase: event.phase, step: event.index + 1, pin: event.pin ?? null };
    case "rest":
      return Object.entries(event.volts).reduce((next, [pin, restVolts]) => withPin(next, pin, { restVolts }), view);
    case "low-current": {
      const lowVolts = event.reading.volts[event.reading.pin];
      return lowVolts === undefined ? view : withPin(view, event.reading.pin, { lowVolts });
    }
    case "drive": {
      const { pin, amps, volts, peakAmps, settleMs, tripped } = event.reading;
      const atPin = volts[pin];
      return withPin(view, pin, {
        amps,
        ...(atPin === undefined ? {} : { volts: atPin }),
        ...(peakAmps === undefined ? {} : { peakAmps }),
        ...(settleMs === undefined ? {} : { settleMs }),
        ...(tripped === undefined ? {} : { tripped }),
      });
    }
    case "skipped":
      return withPin(view, event.pin, { skipped: event.why });
    case "trace":
      return view;
    case "ended":
      return {
        ...view,
        state: "ended",
        pin: null,
        end: endOf(event.outcome, stopReason),
        hasReadings: event.outcome.readings !== undefined,
      };
  }
}

/** The view of a walk of which only the readings are left; without findings it was broken off. */
export function restoredWalk(begun: WalkView, readings: Readings, findings: Findings | undefined): WalkView {
  const { rest = {}, lowCurrent = [], drives = [] } = readings;
  const events: WalkEvent[] = [
    { kind: "rest", volts: rest },
    ...lowCurrent.map((reading) => ({ kind: "low-current" as const, reading })),
    ...drives.map((reading) => ({ kind: "drive" as const, reading, end: "" })),
  ];
  const measured = events.reduce((view, event) => foldWalkEvent(view, event, null), begun);
  const phase = drives.length > 0 ? "drive" : lowCurrent.length > 0 ? "low-current" : "rest";
  return {
    ...measured,
    state: "ended",
    phase: findings ? "compare" : phase,
    end: findings ? { kind: "judged", findings } : { kind: "stopped", message: brokenOffEarlier },
    hasReadings: true,
  };
}

const brokenOffEarlier =
  "This walk was broken off when Pinwalk ended. What it had measured is below; walk again for a verdict. All outputs are off.";

function withPin(view: WalkView, pin: string, more: PinProgress): WalkView {
  return { ...view, pins: { ...view.pins, [pin]: { ...view.pins[pin], ...more } } };
}

const stopWords: Readonly<Record<StopReason, string>> = {
  asked: "was stopped by hand.",
  "nobody-left": "was ended because no browser was left that could have stopped it.",
  "controller-lost": "was ended because whoever controlled it is gone.",
  "handed-over": "was ended because control went to somebody else.",
  closing: "was ended because Pinwalk was closed.",
};

/** How a job after a walk ended; `what` names it at the start of a sentence, `added` says whether it has found anything. */
export function jobEnd(what: string, outcome: WalkOutcome, stopReason: StopReason | null, added = false): JobEnd {
  const end = endOf(outcome, stopReason, what);
  if (end.kind === "judged") return { kind: "judged", overall: end.findings.overall, added };
  return { kind: end.kind, message: end.message, added };
}

function endOf(outcome: WalkOutcome, stopReason: StopReason | null, what = "The walk"): WalkEnd {
  switch (outcome.kind) {
    case "judged":
      return { kind: "judged", findings: outcome.findings };
    case "cancelled":
      return {
        kind: "stopped",
        message: `${what} ${stopWords[stopReason ?? "asked"]} ${outputsWords(outcome.outputs)}`,
      };
    case "could-not-test":
      return {
        kind: "could-not-test",
        code: outcome.code,
        message: `${outcome.message} ${outputsWords(outcome.outputs)}`,
      };
  }
}

function outputsWords(outputs: "confirmed-off" | "silence" | undefined): string {
  return outputs === "silence"
    ? "The bench does not answer any more; it turns everything off by itself within one second."
    : "All outputs are off.";
}
