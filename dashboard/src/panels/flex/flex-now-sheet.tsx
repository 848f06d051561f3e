import type { FlexWatchView as State } from "@pinwalk/host/server/flex-watch/flex-watch-contract.js";
import { useEffect, useState } from "preact/hooks";
import { ToneIcon } from "../../drawing/icons.js";
import { WireSwatch } from "../../drawing/wire-swatch.js";
import { send } from "../../live/connection.js";
import { gapsSeen } from "../../live/gap-alarm.js";
import { ohmsText, voltsText } from "../../words/amounts.js";

/** How long the count stays marked after an interruption. */
const markMs = 900;

/** Which conductor is under watch, and how often it was interrupted, in digits that are seen from the far end of a cable. */
export function FlexNowSheet({ state }: { state: State }) {
  const { now } = state;
  const hit = useJustInterrupted();
  const row = state.conductors.find(({ pin }) => pin === now?.pin);
  if (!now || !row) {
    return (
      <section class="sheet flex-now" aria-labelledby="flex-now">
        <div role="status">
          <h2 id="flex-now">{state.state === "stopping" ? "Turning everything off" : "Getting the bench ready"}</h2>
        </div>
      </section>
    );
  }
  const leftSeconds = Math.max(0, Math.ceil(state.settings.seconds - now.atMs / 1000));
  return (
    <section class={`sheet flex-now${hit || now.broken ? " flex-hit" : ""}`} aria-labelledby="flex-now">
      <div class="flex-now-head">
        <h2 id="flex-now">
          Move the cable: <b>{row.pin}</b> {row.functionText}
        </h2>
        <WireSwatch colour={row.colour} />
        <p>
          Conductor {now.number} of {now.of}, {leftSeconds}&nbsp;s to go
        </p>
      </div>
      <div class="flex-figures">
        <p class="flex-count">
          <strong>{row.gapCount}</strong>
          <span>{row.gapCount === 1 ? "interruption" : "interruptions"}</span>
        </p>
        <dl class="facts">
          <div>
            <dt>Longest</dt>
            <dd>{row.gapCount === 0 ? "–" : `${row.longestGapMs.toFixed(1)}\u00a0ms`}</dd>
          </div>
          <div>
            <dt>{now.followed === "far-volts" ? "At the far end" : "Current"}</dt>
            <dd>
              {now.broken ? (
                <span class="tone-fail flex-said">
                  <ToneIcon tone="fail" /> Interrupted
                </span>
              ) : now.followed === "far-volts" ? (
                voltsText(now.value ?? 0)
              ) : (
                `${(now.value ?? 0).toFixed(3)}\u00a0A`
              )}
            </dd>
          </div>
          <div>
            <dt>Resistance now</dt>
            <dd>{now.ohms === null ? "–" : ohmsText(now.ohms)}</dd>
          </div>
          <div>
            <dt>Least to greatest</dt>
            <dd>{row.ohms ? `${ohmsText(row.ohms.least)} to ${ohmsText(row.ohms.greatest)}` : "–"}</dd>
          </div>
        </dl>
      </div>
      <div class="answers">
        <button
          type="button"
          class="button"
          disabled={state.state === "stopping"}
          onClick={() => void send("flex-watch:next", {})}
        >
          {now.number === now.of ? "Enough: judge" : "Enough: next conductor"}
        </button>
      </div>
    </section>
  );
}

/** True for a moment after each interruption. */
function useJustInterrupted(): boolean {
  const [hit, setHit] = useState(false);
  const seen = gapsSeen.value;
  useEffect(() => {
    if (seen === 0) return;
    setHit(true);
    const timer = setTimeout(() => setHit(false), markMs);
    return () => clearTimeout(timer);
  }, [seen]);
  return hit;
}
