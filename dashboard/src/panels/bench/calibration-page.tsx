import type { CalibrationView } from "@pinwalk/host/server/bench-care/bench-care-contract.js";
import { calibration } from "../../live/bench-care.js";
import { Refusal } from "../refusal.js";
import { CalibrationForm } from "./calibration-form.js";
import { CalibrationStep } from "./calibration-step.js";
import { CareEndBanner } from "./care-end-banner.js";

/** Calibration, one step at a time: what to connect, what to measure, and what comes of it before anything is written. */
export function CalibrationPage() {
  const state = calibration.value;
  if (!state) return null;
  const going = state.state === "running" || state.state === "stopping";
  return (
    <>
      {state.end && (
        <CareEndBanner
          end={state.end}
          word="Calibrated"
          done={`The constants stand in ${state.benchName}, and were read back as they were written.`}
          stopped="Nothing was written: the bench is as it was."
        />
      )}
      {going ? <CalibrationStep state={state} /> : <CalibrationForm state={state} />}
      <Refusal of={["calibration:start", "calibration:answer", "bench-care:simulate"]} />
      <Found state={state} />
      <Answered state={state} />
    </>
  );
}

function Found({ state }: { state: CalibrationView }) {
  if (state.found.length === 0) return null;
  return (
    <section class="sheet" aria-labelledby="calibration-found">
      <div class="sheet-head">
        <h2 id="calibration-found">What came out</h2>
        <p class="sheet-note">From meter, resistors and the bench's own resolution, by the GUM</p>
      </div>
      <dl class="bench-facts">
        {state.found.map(({ name, figure }) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{figure}</dd>
          </div>
        ))}
      </dl>
    </section>
  );
}

function Answered({ state }: { state: CalibrationView }) {
  if (state.answered.length === 0) return null;
  return (
    <section class="sheet" aria-labelledby="calibration-answered">
      <div class="sheet-head">
        <h2 id="calibration-answered">Steps done</h2>
      </div>
      <ol class="care-answered">
        {state.answered.map(({ step, words, answer }) => (
          <li key={step}>
            <span>
              {step}. {words}
            </span>
            <strong>{answer}</strong>
          </li>
        ))}
      </ol>
    </section>
  );
}
