import type { ListeningView } from "@pinwalk/host/server/listening/listening-contract.js";
import { signal } from "@preact/signals";
import { StripChart } from "../../drawing/strip-chart.js";
import { SpanChoice } from "../span-choice.js";

const spanMs = signal<number | null>(10_000);

/** The wire's voltage over time. */
export function ListeningStrip({ state, going }: { state: ListeningView; going: boolean }) {
  const pin = state.pin ?? "";
  return (
    <section class="sheet" aria-labelledby="listening-strip">
      <div class="sheet-head">
        <h2 id="listening-strip">Voltage of {pin}</h2>
        <SpanChoice name="listening-span" spanMs={spanMs} />
      </div>
      <StripChart
        job="listening"
        run={state.run}
        pin={pin}
        kind="value"
        unit="V"
        leastTop={10}
        spanMs={spanMs.value}
        going={going}
        label={`Voltage of ${pin} over time. ${state.now?.words[0] ?? ""}`}
      />
    </section>
  );
}
