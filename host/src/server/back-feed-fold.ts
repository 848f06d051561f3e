import type { BackFeedEvent } from "../procedures/back-feed-watch-events.js";
import type { BackFeedAskView, BackFeedView } from "./contract.js";
import { jobEnd, type StopReason } from "./walk-fold.js";

/** The view of a back-feed watch after one more of its events. */
export function foldBackFeedEvent(view: BackFeedView, event: BackFeedEvent, reason: StopReason | null): BackFeedView {
  switch (event.kind) {
    case "connecting":
      return { ...view, step: "connecting" };
    case "step":
      return event.ask ? withAsk({ ...view, step: event.step }, event.ask.id, stillNow) : { ...view, step: event.step };
    case "volts":
      return {
        ...view,
        pins: view.pins.map((row) => ({
          ...row,
          volts: event.volts[row.pin] ?? null,
          over: event.over.includes(row.pin),
        })),
      };
    case "recorded": {
      const { fed, reading } = event;
      const found = fed.map((pin) => `${(reading.volts[pin] ?? 0).toFixed(2)}\u00a0V on ${pin}`).join(", ");
      return withAsk(view, event.ask.id, (ask) => ({
        ...ask,
        state: fed.length > 0 ? "fed" : "quiet",
        detail: fed.length > 0 ? found : null,
      }));
    }
    case "skipped":
      return withAsk(view, event.ask.id, (ask) => ({ ...ask, state: "skipped" }));
    case "ended":
      return {
        ...view,
        state: "ended",
        step: null,
        end: jobEnd("The back-feed watch", event.outcome, reason, anyWatched(view)),
      };
  }
}

/** Whether the watch has found out anything yet. */
export function anyWatched({ asks }: BackFeedView): boolean {
  return asks.some(({ state }) => state === "fed" || state === "quiet");
}

/** What has been recorded stays so while the person switches it off. */
const stillNow = (ask: BackFeedAskView): BackFeedAskView => (ask.state === "to-come" ? { ...ask, state: "now" } : ask);

function withAsk(view: BackFeedView, id: string, change: (ask: BackFeedAskView) => BackFeedAskView): BackFeedView {
  return { ...view, asks: view.asks.map((ask) => (ask.id === id ? change(ask) : ask)) };
}
