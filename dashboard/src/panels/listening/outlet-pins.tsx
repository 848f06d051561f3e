import type { ListeningView, OutletPinView } from "@pinwalk/host/server/listening/listening-contract.js";
import { ToneIcon } from "../../drawing/icons.js";
import { voltsText } from "../../words/amounts.js";
import { overallWords } from "../../words/verdict-words.js";

const volts = (value: number | null) => (value === null ? "–" : voltsText(value));

/** Every pin of the outlet, without and with the far loads. */
export function OutletPins({ state }: { state: ListeningView }) {
  return (
    <section class="sheet" aria-labelledby="outlet-pins">
      <div class="sheet-head">
        <h2 id="outlet-pins">The outlet, pin by pin</h2>
        <p class="sheet-note">A pin may lose up to {voltsText(state.settings.mostDropVolts)} with the far loads on</p>
      </div>
      <ul class="outlet-rows">
        {state.outlet.map((row) => (
          <li key={row.pin} aria-current={row.now ? "step" : undefined}>
            <div class="outlet-head">
              <b>{row.pin}</b>
              <span>{row.functionText}</span>
              <Verdict row={row} />
            </div>
            <dl class="outlet-volts">
              <div>
                <dt>Without loads</dt>
                <dd>{volts(row.openVolts)}</dd>
              </div>
              <div>
                <dt>With loads</dt>
                <dd>{volts(row.loadedVolts)}</dd>
              </div>
              <div>
                <dt>The way to it</dt>
                <dd>{row.ohms === null ? "–" : `${row.ohms.toFixed(2)}\u00a0Ω`}</dd>
              </div>
            </dl>
            {row.words !== null && <p>{row.words}</p>}
          </li>
        ))}
      </ul>
    </section>
  );
}

function Verdict({ row }: { row: OutletPinView }) {
  if (row.verdict === null) return <span class="outlet-said">{row.now ? "listened to" : "not measured"}</span>;
  const { word, tone } = overallWords[row.verdict];
  return (
    <span class={`outlet-said tone-${tone}`}>
      <ToneIcon tone={tone} /> {word}
    </span>
  );
}
