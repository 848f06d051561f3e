import type { FlexConductorView, FlexWatchView as State } from "@pinwalk/host/server/flex-watch/flex-watch-contract.js";
import { ToneIcon } from "../../drawing/icons.js";
import { WireSwatch } from "../../drawing/wire-swatch.js";
import { ohmsText } from "../../words/amounts.js";
import { overallWords } from "../../words/verdict-words.js";

/** Every conductor: interruptions, resistance, verdict with its sentence. */
export function FlexConductors({ state }: { state: State }) {
  return (
    <section class="sheet flex-wide" aria-labelledby="flex-conductors">
      <div class="sheet-head">
        <h2 id="flex-conductors">Conductors</h2>
        <p class="sheet-note">{limitsText(state)}</p>
      </div>
      <ul class="flex-rows">
        {state.conductors.map((row) => (
          <li key={row.pin} aria-current={row.state === "now" ? "step" : undefined}>
            <div class="flex-row-head">
              <b>{row.pin}</b>
              <span>{row.functionText}</span>
              <WireSwatch colour={row.colour} />
              <Verdict row={row} />
            </div>
            {row.state !== "to-come" && <p>{row.words ?? soFar(row)}</p>}
            {row.lostWindows > 0 && (
              <p class="sheet-note">
                {row.lostWindows} windows of 2&nbsp;ms were lost on the line: the strip has holes there, the count of
                interruptions has not.
              </p>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}

function Verdict({ row }: { row: FlexConductorView }) {
  if (row.verdict === null) return <span class="flex-said">{row.state === "now" ? "under watch" : "not watched"}</span>;
  const { word, tone } = overallWords[row.verdict];
  return (
    <span class={`flex-said tone-${tone}`}>
      <ToneIcon tone={tone} /> {word}
    </span>
  );
}

function soFar({ gapCount, longestGapMs, ohms }: FlexConductorView): string {
  const gaps =
    gapCount === 0 ? "Not interrupted so far" : `Interrupted ${gapCount}×, longest ${longestGapMs.toFixed(1)} ms`;
  return ohms ? `${gaps}; between ${ohmsText(ohms.least)} and ${ohmsText(ohms.greatest)}.` : `${gaps}.`;
}

/** By what the conductors are judged, in one line. */
function limitsText({ thresholds, settings, end }: State): string {
  const { leastGapMs, mostGaps, mostSpreadOhms } = end ? thresholds : settings.thresholds;
  const gaps =
    mostGaps === 0 ? "no interruption" : `at most ${mostGaps} ${mostGaps === 1 ? "interruption" : "interruptions"}`;
  return `Passes with ${gaps} of ${leastGapMs} ms or longer, and resistance that stays within ${mostSpreadOhms} Ω`;
}
