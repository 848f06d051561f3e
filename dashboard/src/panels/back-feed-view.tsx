import type { BackFeedView as State } from "@pinwalk/host/server/contract.js";
import { ToneIcon } from "../drawing/icons.js";
import { goingOn, jobGoesOn } from "../live/bench-jobs.js";
import { send } from "../live/connection.js";
import { backFeed } from "../live/workbench-store.js";
import { voltsText } from "../words/amounts.js";
import { BackFeedAsks } from "./back-feed-asks.js";
import { BackFeedStepSheet } from "./back-feed-step-sheet.js";
import { ControlOnly } from "./control-only.js";
import { JobEndBanner } from "./job-end-banner.js";
import { NotYet } from "./not-yet.js";
import { Refusal } from "./refusal.js";
import { useFocusOnTurn } from "./use-focus-on-turn.js";
import "./back-feed-view.css";

/** The watch for voltage that comes from the vehicle's own functions: what to switch, what shows up, what was found. */
export function BackFeedView() {
  const state = backFeed.value;
  useFocusOnTurn("job-end-word", state?.state ?? "", state?.state === "ended");
  if (!state) return null;
  const going = jobGoesOn("back-feed");
  return (
    <div class="back-feed">
      {state.end && <JobEndBanner end={state.end} nothing={nothingWatched} />}
      {going ? (
        <ControlOnly>
          <BackFeedStepSheet state={state} />
        </ControlOnly>
      ) : (
        <Beginning state={state} />
      )}
      {going && state.simulated && (
        <ControlOnly>
          <SimulatedSwitches state={state} />
        </ControlOnly>
      )}
      <Refusal of={["back-feed:start", "back-feed:answer", "back-feed:switch"]} />
      <div class="back-feed-both">
        <BackFeedAsks state={state} />
        <Pins state={state} />
      </div>
    </div>
  );
}

const nothingWatched =
  "No function was watched, so the verdict is as before. Where none can be switched on here, leave this step out, with the reason, under “All steps” above.";

function Beginning({ state }: { state: State }) {
  return (
    <section class="sheet" aria-labelledby="back-feed-title">
      <div class="sheet-head">
        <h2 id="back-feed-title">Back-feed watch</h2>
      </div>
      <p class="back-feed-lead">
        Nothing is driven and the relay stays open. You switch the vehicle's own functions on, one at a time, as you are
        asked; nothing may appear on the connector.
      </p>
      {state.hindrance && goingOn.value === null && <NotYet title="the back-feed watch" hindrance={state.hindrance} />}
    </section>
  );
}

/** The demo's switches: whoever has no vehicle can see what the watch does. */
function SimulatedSwitches({ state }: { state: State }) {
  const onId = state.simulated?.onId ?? null;
  const choices = [{ id: null, text: "everything off" }, ...state.asks];
  return (
    <section class="sheet simulated" aria-labelledby="simulated-title">
      <div class="sheet-head">
        <h2 id="simulated-title">Simulated vehicle: its own switches</h2>
        <p class="sheet-note">Only on the virtual bench</p>
      </div>
      <div class="switches">
        {choices.map((choice) => (
          <button
            key={choice.id ?? "off"}
            type="button"
            class={`button${choice.id === null ? " switch-all-off" : ""}`}
            aria-pressed={choice.id === onId}
            onClick={() => void send("back-feed:switch", { askId: choice.id })}
          >
            {choice.text}
          </button>
        ))}
      </div>
    </section>
  );
}

function Pins({ state }: { state: State }) {
  if (state.pins.length === 0) return null;
  return (
    <section class="sheet" aria-labelledby="back-feed-pins">
      <div class="sheet-head">
        <h2 id="back-feed-pins">On the connector</h2>
        <p class="sheet-note">More than {voltsText(state.marginVolts)} above a sound vehicle is back-feed</p>
      </div>
      <table class="back-feed-pins">
        <thead>
          <tr>
            <th scope="col">Pin</th>
            <th scope="col">Circuit</th>
            <th scope="col" class="number">
              Now
            </th>
            <th scope="col">State</th>
          </tr>
        </thead>
        <tbody>
          {state.pins.map((row) => (
            <tr key={row.pin} class={row.over ? "pin-over" : ""}>
              <th scope="row">{row.pin}</th>
              <td>{row.functionText}</td>
              <td class="number">
                <strong>{row.volts === null ? "–" : voltsText(row.volts)}</strong>
              </td>
              <td>
                {row.over ? (
                  <span class="said tone-fail">
                    <ToneIcon tone="fail" /> Back-feed
                  </span>
                ) : row.volts === null ? (
                  "not looked at"
                ) : (
                  "quiet"
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
