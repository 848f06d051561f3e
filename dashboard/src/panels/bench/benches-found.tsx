import type { BenchView } from "@pinwalk/host/server/contract.js";
import { ToneIcon } from "../../drawing/icons.js";
import { benchCare } from "../../live/bench-care.js";
import { busy, goingOn } from "../../live/bench-jobs.js";
import { send } from "../../live/connection.js";
import { benches } from "../../live/workbench-store.js";
import { Refusal } from "../refusal.js";

/** Every port that was asked: what answered there, how it is, and what to do where it cannot be used. */
export function BenchesFound() {
  const state = benches.value;
  if (!state) return null;
  return (
    <section class="sheet" aria-labelledby="benches-title">
      <div class="sheet-head">
        <h2 id="benches-title">Benches on this computer</h2>
        <button
          type="button"
          class="button"
          onClick={() => void send("bench:refresh", {})}
          disabled={state.searching || busy.value}
        >
          {state.searching ? "Looking …" : "Look again"}
        </button>
      </div>
      <Refusal of={["bench:choose", "bench:refresh", "bench:ask", "bench:board"]} />
      {state.problem && <p class="sheet-note">{state.problem}</p>}
      <ul class="benches">
        {state.found.map((bench) => (
          <li key={bench.id} class="bench-found" aria-current={bench.id === state.chosenId ? "true" : undefined}>
            <Found bench={bench} chosen={bench.id === state.chosenId} />
          </li>
        ))}
      </ul>
      {state.found.every(({ kind }) => kind === "virtual") && !state.searching && (
        <p class="sheet-note">
          No bench on a serial port. Plug its USB cable in, switch its supply on, and look again.
        </p>
      )}
    </section>
  );
}

const stateWords = {
  ready: { tone: "pass", word: "Ready" },
  busy: { tone: "warning", word: "Busy: another program has its port" },
  "other-protocol": { tone: "fail", word: "Speaks another protocol" },
  "not-a-bench": { tone: "none", word: "Not a bench" },
  unreachable: { tone: "fail", word: "Cannot be reached" },
} as const;

function Found({ bench, chosen }: { bench: BenchView; chosen: boolean }) {
  const { tone, word } = stateWords[bench.state];
  const job = chosen ? jobWord() : null;
  return (
    <>
      <div class="bench-head">
        <h3>{bench.name}</h3>
        <p class={`said tone-${job === null ? tone : "warning"}`}>
          <ToneIcon tone={job === null ? tone : "warning"} />
          {job === null ? word : `In use: ${job}`}
        </p>
      </div>
      <p class="sheet-note">{bench.detail}</p>
      {bench.facts && <Facts facts={bench.facts} />}
      <div class="bench-actions">
        {bench.state === "ready" && !chosen && (
          <button
            type="button"
            class="button"
            disabled={busy.value}
            onClick={() => void send("bench:choose", { benchId: bench.id })}
          >
            Use this one<span class="said-only">: {bench.name}</span>
          </button>
        )}
        {chosen && <Ask bench={bench} />}
        {bench.kind === "virtual" && <Board />}
      </div>
    </>
  );
}

/** What the chosen bench is used for just now. */
function jobWord(): string | null {
  const job = goingOn.value;
  if (job === "walk") return "walk";
  if (job) return job.title.toLowerCase();
  return benchCare.value?.asking ? "it is being asked" : null;
}

function Ask({ bench }: { bench: BenchView }) {
  const asking = benchCare.value?.asking === true;
  return (
    <>
      <p class="bench-chosen">
        <strong>In use for every page</strong>
      </p>
      <button type="button" class="button" disabled={busy.value || asking} onClick={() => void send("bench:ask", {})}>
        {asking ? "Asking …" : bench.facts ? "Ask it again" : "Ask how it is"}
        <span class="said-only">: {bench.name}</span>
      </button>
    </>
  );
}

function Facts({ facts }: { facts: NonNullable<BenchView["facts"]> }) {
  const { calibration } = facts;
  const rows = [
    ["Serial number", facts.serial ?? "none given"],
    ["Firmware", `${facts.firmware}, protocol ${facts.protocol}`],
    ...(facts.supplyVolts === null ? [] : [["Supply", `${facts.supplyVolts.toFixed(2)}\u00a0V`]]),
    ...(facts.temperatureC === null ? [] : [["Temperature", `${facts.temperatureC.toFixed(1)}\u00a0°C`]]),
    ...(calibration.calibratedAt === null
      ? []
      : [["Calibrated", `${calibration.calibratedAt}${calibration.dueAt ? `, due again ${calibration.dueAt}` : ""}`]]),
    ...(calibration.uncertainty === null ? [] : [["Uncertainty", calibration.uncertainty]]),
  ] as const;
  const tone = { never: "unsure", good: "pass", "due-soon": "warning", overdue: "fail" } as const;
  return (
    <>
      <dl class="bench-facts">
        {rows.map(([name, value]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>
              <bdi>{value}</bdi>
            </dd>
          </div>
        ))}
      </dl>
      <p class={`bench-calibration tone-${tone[calibration.state]}`}>
        <ToneIcon tone={tone[calibration.state]} />
        <span>{calibration.words}</span>
      </p>
    </>
  );
}

/** The virtual bench has parts just as designed, unless somebody wants to see what a calibration does. */
function Board() {
  const board = benchCare.value?.board ?? null;
  if (board === null) return null;
  const scattered = board === "scattered";
  return (
    <div class="bench-board">
      <button
        type="button"
        class="button"
        aria-pressed={scattered}
        disabled={busy.value}
        onClick={() => void send("bench:board", { scattered: !scattered })}
      >
        Parts that scatter
      </button>
      <p class="sheet-note">
        {scattered
          ? "Its resistors, reference and amplifiers are off by up to 1 %, as bought ones are: calibrate it, and walk again."
          : "Its parts are just as designed. Press to give it parts as bought ones are; what was written into it is then gone."}
      </p>
    </div>
  );
}
