import type { FlexWatchView as State } from "@pinwalk/host/server/flex-watch/flex-watch-contract.js";
import { signal } from "@preact/signals";
import { StripChart } from "../../drawing/strip-chart.js";
import { SpanChoice } from "../span-choice.js";
import { AlarmSwitch } from "./alarm-switch.js";

/** The conductor whose strip is looked at when none is under watch. */
const lookedAt = signal<string | null>(null);
const spanMs = signal<number | null>(10_000);

/** What was seen of one conductor: at its far end, and its resistance. */
export function FlexStrips({ state, going }: { state: State; going: boolean }) {
  const pin = state.now?.pin ?? lookedAt.value ?? state.conductors.find(({ gapCount }) => gapCount > 0)?.pin;
  const row = state.conductors.find((one) => one.pin === pin) ?? state.conductors[0];
  if (!row) return null;
  const { gapCount, longestGapMs, ohms } = row;
  const counted =
    gapCount === 0
      ? "no interruption so far"
      : `${gapCount} ${gapCount === 1 ? "interruption" : "interruptions"}, the longest ${longestGapMs.toFixed(1)} ms`;
  const shared = { job: "flexWatch", run: state.run, pin: row.pin, going: going && state.now !== null } as const;
  const shownMs = going ? spanMs.value : null;
  const follows = state.now?.followed ?? (ohms ? "far-volts" : "amps");
  return (
    <section class="sheet" aria-labelledby="flex-strip">
      <div class="sheet-head">
        <h2 id="flex-strip">Strip of {row.pin}</h2>
        {going ? (
          <div class="flex-strip-ways">
            <AlarmSwitch />
            <SpanChoice name="flex-span" spanMs={spanMs} />
          </div>
        ) : (
          <PinChoice state={state} pin={row.pin} />
        )}
      </div>
      <StripChart
        {...shared}
        kind="value"
        unit={follows === "far-volts" ? "V" : "A"}
        leastTop={follows === "far-volts" ? 10 : 0.2}
        spanMs={shownMs}
        label={`${follows === "far-volts" ? "Voltage at the far end" : "Current"} of ${row.pin} over time: ${counted}`}
      />
      {follows === "far-volts" && (
        <>
          <h3 class="flex-strip-title">Resistance</h3>
          <StripChart
            {...shared}
            kind="ohms"
            unit="Ω"
            leastTop={0.2}
            spanMs={shownMs}
            limits={ohms ? [ohms.least, ohms.greatest] : []}
            label={`Resistance of ${row.pin} over time${ohms ? `, between ${ohms.least.toFixed(3)} and ${ohms.greatest.toFixed(3)} ohms` : ""}`}
          />
        </>
      )}
    </section>
  );
}

function PinChoice({ state, pin }: { state: State; pin: string }) {
  if (state.conductors.length < 2) return null;
  return (
    <div class="field flex-pin-choice">
      <label for="flex-pin">Conductor</label>
      <select id="flex-pin" value={pin} onChange={(event) => (lookedAt.value = event.currentTarget.value)}>
        {state.conductors.map((row) => (
          <option key={row.pin} value={row.pin}>
            {row.pin}
          </option>
        ))}
      </select>
    </div>
  );
}
