import type { FlexEvent } from "../../procedures/flex-watch/flex-watch-events.js";
import { brokenOffEnd } from "../bench-care/broken-off-end.js";
import type { StopReason } from "../walk-fold.js";
import type { FlexConductorView, FlexEnd, FlexWatchView } from "./flex-watch-contract.js";

const mostGapsShown = 60;
/** Less than half of what it had is an interruption, as the bench counts it. */
const brokenShare = 0.5;
/** Less than this was never there: noise of a bare input. */
const leastValue = { "far-volts": 1, amps: 0.02 } as const;

/** The view of a flex watch after one more of its events. */
export function foldFlexEvent(view: FlexWatchView, event: FlexEvent, reason: StopReason | null): FlexWatchView {
  switch (event.kind) {
    case "connecting":
      return view;
    case "conductor": {
      const { pin, index, of, followed } = event;
      const now = { pin, number: index + 1, of, followed, atMs: 0, value: null, ohms: null, broken: false };
      return { ...withConductor(view, pin, (row) => ({ ...row, state: "now" })), now };
    }
    case "strip":
      return withPoint(view, event);
    case "gap": {
      const { pin, gap } = event;
      const gaps = [...view.gaps.slice(1 - mostGapsShown), { pin, ...gap }];
      return withConductor({ ...view, gaps }, pin, (row) => ({
        ...row,
        gapCount: row.gapCount + 1,
        longestGapMs: Math.max(row.longestGapMs, gap.lengthMs),
        totalGapMs: row.totalGapMs + gap.lengthMs,
      }));
    }
    case "judged": {
      const { pin, gapCount, longestGapMs, totalGapMs, ohms = null, lostWindows, judged } = event.conductor;
      const { verdict, words } = judged;
      return withConductor({ ...view, now: null }, pin, (row) => ({
        ...row,
        ...{ state: "judged", gapCount, longestGapMs, totalGapMs, ohms, lostWindows, verdict, words },
      }));
    }
    case "ended":
      return { ...view, state: "ended", now: null, simulated: false, end: endOf(event.outcome, reason) };
  }
}

function withPoint(view: FlexWatchView, { pin, point }: Extract<FlexEvent, { kind: "strip" }>): FlexWatchView {
  if (view.now?.pin !== pin) return view;
  const { atMs, mean, least, greatest, smoothOhms = null } = point;
  const top = Math.max(greatest, view.now.value ?? 0);
  const broken = mean < brokenShare * top || greatest < leastValue[view.now.followed];
  const now = { ...view.now, atMs, value: broken ? (view.now.value ?? greatest) : mean, ohms: smoothOhms, broken };
  if (smoothOhms === null || least < brokenShare * top) return { ...view, now };
  return withConductor({ ...view, now }, pin, (row) => ({
    ...row,
    ohms: {
      least: Math.min(row.ohms?.least ?? smoothOhms, smoothOhms),
      mean: smoothOhms,
      greatest: Math.max(row.ohms?.greatest ?? smoothOhms, smoothOhms),
    },
  }));
}

function withConductor(
  view: FlexWatchView,
  pin: string,
  change: (row: FlexConductorView) => FlexConductorView,
): FlexWatchView {
  return { ...view, conductors: view.conductors.map((row) => (row.pin === pin ? change(row) : row)) };
}

function endOf(outcome: Extract<FlexEvent, { kind: "ended" }>["outcome"], reason: StopReason | null): FlexEnd {
  if (outcome.kind === "watched") return { kind: "watched", overall: outcome.overall };
  return brokenOffEnd("The flex watch", outcome, reason);
}
