import type { CalibrationView } from "@pinwalk/host/server/bench-care/bench-care-contract.js";
import { useEffect, useState } from "preact/hooks";
import { ToneIcon } from "../../drawing/icons.js";
import { typedNumber } from "../../live/bench-care.js";
import { send } from "../../live/connection.js";
import { SimulatedStep } from "./simulated-step.js";

/** The step that waits: what to connect, what to take care of, and the field for what the meter shows. */
export function CalibrationStep({ state }: { state: CalibrationView }) {
  const { asks, step, steps, caution } = state;
  return (
    <section class="sheet care-step" aria-labelledby="calibration-now">
      <p class="sheet-note">{steps > 0 && asks ? `Step ${step} of ${steps}` : state.benchName}</p>
      <div role="status">
        <h2 id="calibration-now">{asks?.words ?? "The bench measures …"}</h2>
      </div>
      {asks && caution !== null && (
        <p class="caution">
          <ToneIcon tone="warning" />
          <span>{caution}</span>
        </p>
      )}
      {asks && state.simulated && <SimulatedStep key={step} simulated={state.simulated} />}
      {asks && <Answer key={step} state={state} />}
    </section>
  );
}

function Answer({ state }: { state: CalibrationView }) {
  const { asks, step, simulated } = state;
  const [text, setText] = useState("");
  const [problem, setProblem] = useState<string | null>(null);
  const meterVolts = simulated?.meterVolts ?? null;
  // What the simulated meter shows is offered, not answered: a person may type something else.
  useEffect(() => {
    if (meterVolts !== null) setText(meterVolts.toFixed(3));
  }, [meterVolts]);
  if (!asks) return null;
  const stopping = state.state === "stopping";
  const wantsVolts = asks.wants === "volts";
  const answer = (event: Event) => {
    event.preventDefault();
    const volts = wantsVolts ? typedNumber(text) : 0;
    if (wantsVolts && !(volts > 0 && volts <= 20)) {
      setProblem("Give the meter's volts, above 0 and at most 20, like 12.74.");
      document.getElementById("meter-shows")?.focus();
      return;
    }
    setProblem(null);
    void send("calibration:answer", { step, volts });
  };
  return (
    <form class="care-answer" noValidate onSubmit={answer}>
      {wantsVolts && (
        <div class="field">
          <label for="meter-shows">The meter shows, V</label>
          <input
            id="meter-shows"
            type="text"
            inputMode="decimal"
            maxLength={10}
            autoComplete="off"
            value={text}
            aria-invalid={problem !== null}
            aria-describedby={problem === null ? undefined : "meter-shows-problem"}
            onInput={(event) => setText(event.currentTarget.value)}
          />
          {problem !== null && (
            <p id="meter-shows-problem" class="field-problem" role="alert">
              <ToneIcon tone="fail" size={16} /> {problem}
            </p>
          )}
        </div>
      )}
      <div class="care-answers">
        <button type="submit" class="button button-solid" disabled={stopping}>
          {wantsVolts ? "That is what it shows" : asks.id === "write" ? "Write the constants" : "That is so"}
        </button>
        {asks.optional && (
          <button
            type="button"
            class="button"
            disabled={stopping}
            onClick={() => void send("calibration:answer", { step, volts: null })}
          >
            Leave this step out
          </button>
        )}
      </div>
    </form>
  );
}
