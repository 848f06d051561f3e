import type { SelfTestView } from "@pinwalk/host/server/bench-care/bench-care-contract.js";
import { ToneIcon } from "../../drawing/icons.js";
import { selfTest } from "../../live/bench-care.js";
import { goingOn } from "../../live/bench-jobs.js";
import { send } from "../../live/connection.js";
import { NotYet } from "../not-yet.js";
import { Refusal } from "../refusal.js";
import { CareEndBanner } from "./care-end-banner.js";
import { SimulatedStep } from "./simulated-step.js";

/** The bench's own tests: what to plug in or out, and each item as it comes. */
export function SelfTestPage() {
  const state = selfTest.value;
  if (!state) return null;
  const going = state.state === "running" || state.state === "stopping";
  return (
    <>
      {state.end && (
        <CareEndBanner
          end={state.end}
          done={`${countText(state)} on ${state.benchName}.`}
          stopped="What had been found is below; nothing was kept."
        />
      )}
      {going ? <Step state={state} /> : <Lead state={state} />}
      <Refusal of={["self-test:start", "self-test:answer", "bench-care:simulate"]} />
      <Items state={state} />
    </>
  );
}

function countText({ items }: SelfTestView): string {
  const failed = items.filter(({ verdict }) => verdict === "fail").length;
  const left = items.filter(({ verdict }) => verdict === "not-tested").length;
  return [
    `${items.length - left} tested`,
    failed > 0 ? `${failed} failed` : "none failed",
    ...(left > 0 ? [`${left} left out`] : []),
  ].join(", ");
}

function Lead({ state }: { state: SelfTestView }) {
  if (state.end) return null;
  return (
    <section class="sheet" aria-labelledby="self-test-title">
      <div class="sheet-head">
        <h2 id="self-test-title">Self-test</h2>
      </div>
      <p class="bench-lead">
        With no vehicle on the bench. First the bench tells of itself; then, with nothing plugged in, its inputs and
        low-current sources are tested; then, with the far socket and its 47&nbsp;Ω loads on the near connector, its
        switches, current and slow limit. Either part can be left out.
      </p>
      <p class="caution">
        <ToneIcon tone="warning" />
        <span>
          The last part drives full supply into the loads, one after another. Take the vehicle off first, and stay with
          the bench.
        </span>
      </p>
      {state.hindrance && goingOn.value === null && <NotYet title="the self-test" hindrance={state.hindrance} />}
    </section>
  );
}

const stepWords = {
  "nothing-plugged-in": {
    title: "Unplug everything from the bench",
    more: "Nothing on either connector: no vehicle, no cable, no loads.",
    ready: "Nothing is plugged in",
  },
  "far-loads": {
    title: "Plug the far loads in",
    more: "The far socket with its 47 Ω resistors onto the near connector. They get warm: two seconds each.",
    ready: "The loads are plugged in",
  },
} as const;

function Step({ state }: { state: SelfTestView }) {
  const { asks, step, doing } = state;
  const stopping = state.state === "stopping";
  const words = asks ? stepWords[asks] : null;
  const answer = (ready: boolean) => void send("self-test:answer", { step, ready });
  return (
    <section class="sheet care-step" aria-labelledby="self-test-now">
      <div role="status">
        <h2 id="self-test-now">{words?.title ?? doing ?? "Testing"}</h2>
        <p>{words?.more ?? "Leave everything as it is."}</p>
      </div>
      {words && state.simulated && <SimulatedStep key={step} simulated={state.simulated} />}
      {words && (
        <div class="care-answers">
          <button type="button" class="button button-solid" disabled={stopping} onClick={() => answer(true)}>
            {words.ready}
          </button>
          <button type="button" class="button" disabled={stopping} onClick={() => answer(false)}>
            Leave this part out
          </button>
        </div>
      )}
    </section>
  );
}

const verdictWords = {
  pass: { tone: "pass", word: "Pass" },
  fail: { tone: "fail", word: "Fail" },
  unsure: { tone: "unsure", word: "Unsure" },
  "not-tested": { tone: "none", word: "Not tested" },
} as const;

function Items({ state }: { state: SelfTestView }) {
  if (state.items.length === 0) return null;
  return (
    <section class="sheet" aria-labelledby="self-test-items">
      <div class="sheet-head">
        <h2 id="self-test-items">What was found</h2>
        <p class="sheet-note" role="status">
          {countText(state)}
        </p>
      </div>
      <ol class="care-items">
        {state.items.map(({ id, verdict, words, lookAt }) => {
          const { tone, word } = verdictWords[verdict];
          return (
            <li key={id} class={`care-item tone-${tone}`}>
              <ToneIcon tone={tone} />
              <div>
                <p>
                  <strong>{word}.</strong> {words}
                </p>
                {lookAt !== undefined && (
                  <p class="sheet-note">
                    <strong>Look at:</strong> {lookAt}
                  </p>
                )}
              </div>
            </li>
          );
        })}
      </ol>
    </section>
  );
}
