import type { ListeningView, OutletPinView } from "@pinwalk/host/server/listening/listening-contract.js";
import { ToneIcon } from "../../drawing/icons.js";
import { StripChart } from "../../drawing/strip-chart.js";
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
            <div class="outlet-traces">
              <Trace state={state} row={row} loaded={false} />
              <Trace state={state} row={row} loaded={true} />
            </div>
            {row.words !== null && !isPlain(row) && <p>{row.words}</p>}
          </li>
        ))}
      </ul>
    </section>
  );
}

/** The figures say it all. */
const isPlain = (row: OutletPinView) => row.verdict === "pass" && row.openVolts !== null && row.loadedVolts !== null;

const traceMs = 3000;

/** What the pin did while it was listened to; the figures beside it say what matters. */
function Trace({ state, row, loaded }: { state: ListeningView; row: OutletPinView; loaded: boolean }) {
  const now = row.now && (state.step === "with-loads") === loaded;
  if (!now && (loaded ? row.loadedVolts : row.openVolts) === null) return null;
  return (
    <StripChart
      job="listening"
      run={state.run}
      pin={loaded ? row.loadedStrip : row.openStrip}
      kind="value"
      unit="V"
      leastTop={14}
      spanMs={traceMs}
      going={now}
      label={`Voltage of ${row.pin} over three seconds, ${loaded ? "with" : "without"} the far load`}
    />
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
