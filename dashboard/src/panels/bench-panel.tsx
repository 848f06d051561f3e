import type { BenchView } from "@pinwalk/host/server/contract.js";
import { busy } from "../live/bench-jobs.js";
import { send } from "../live/connection.js";
import { benches } from "../live/workbench-store.js";
import { Refusal } from "./refusal.js";

/** The benches found, with the reason beside every port that cannot be used. */
export function BenchPanel({ step }: { step: number }) {
  const state = benches.value;
  if (!state) return null;
  const refresh = () => {
    void send("bench:refresh", {});
  };
  return (
    <section class="sheet" aria-labelledby="bench-title">
      <div class="sheet-head">
        <h2 id="bench-title">
          <span class="step">{step}</span>Bench
        </h2>
        <button type="button" class="button" onClick={refresh} disabled={state.searching || busy.value}>
          {state.searching ? "Looking …" : "Look again"}
        </button>
      </div>
      <ul class="choice-list">
        {state.found.map((bench) => (
          <BenchChoice key={bench.id} bench={bench} chosen={bench.id === state.chosenId} />
        ))}
      </ul>
      {state.found.every((bench) => bench.kind === "virtual") && !state.searching && (
        <p class="sheet-note set-off">
          No bench on a serial port. Plug its USB cable in and look again, or try everything out on the virtual bench.
        </p>
      )}
      {state.problem && <p class="sheet-note set-off">{state.problem}</p>}
      <Refusal of={["bench:choose", "bench:refresh"]} />
    </section>
  );
}

function BenchChoice({ bench, chosen }: { bench: BenchView; chosen: boolean }) {
  const usable = bench.state === "ready";
  return (
    <li>
      <label class={`choice${usable ? "" : " choice-closed"}`}>
        <input
          type="radio"
          name="bench"
          checked={chosen}
          disabled={!usable || busy.value}
          onChange={() => void send("bench:choose", { benchId: bench.id })}
        />
        <span class="choice-name">{bench.name}</span>
        <span class="choice-detail">{bench.detail}</span>
      </label>
    </li>
  );
}
