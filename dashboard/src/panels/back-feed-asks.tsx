import type { BackFeedAskView, BackFeedView as State } from "@pinwalk/host/server/contract.js";
import { ToneIcon } from "../drawing/icons.js";

const stateWords = {
  "to-come": { word: "to come", tone: "none" },
  now: { word: "asked now", tone: "none" },
  quiet: { word: "nothing came through", tone: "pass" },
  fed: { word: "back-feed", tone: "fail" },
  "not-asked": { word: "not answered", tone: "not-tested" },
  skipped: { word: "skipped", tone: "not-tested" },
} as const;

/** The vehicle's functions in the order in which they are asked for, and what came of each. */
export function BackFeedAsks({ state }: { state: State }) {
  if (state.asks.length === 0) return null;
  return (
    <section class="sheet" aria-labelledby="back-feed-asks">
      <div class="sheet-head">
        <h2 id="back-feed-asks">Functions</h2>
      </div>
      <ol class="asks">
        {state.asks.map((ask) => (
          <Ask key={ask.id} ask={ask} going={state.state === "running"} ended={state.state === "ended"} />
        ))}
      </ol>
    </section>
  );
}

function Ask({ ask, going, ended }: { ask: BackFeedAskView; going: boolean; ended: boolean }) {
  // What was asked when the watch ended was not answered.
  const open = ask.state === "now" || ask.state === "to-come";
  const { word, tone } = stateWords[open && ended ? "not-asked" : ask.state];
  return (
    <li class={`ask ask-${ask.state}`} aria-current={ask.state === "now" && going ? "step" : undefined}>
      <ToneIcon tone={tone} size={22} />
      <span>
        <strong>{ask.text}</strong>
        <small>
          {word}
          {ask.detail && `: ${ask.detail}`}
        </small>
      </span>
    </li>
  );
}
