import type { RoundView as State } from "@pinwalk/host/server/contract.js";
import { BulbIcon } from "../drawing/bulb-icon.js";
import { RearView } from "../drawing/rear-view.js";
import { goingOn, jobGoesOn } from "../live/bench-jobs.js";
import { round } from "../live/workbench-store.js";
import { ControlOnly } from "./control-only.js";
import { JobEndBanner } from "./job-end-banner.js";
import { NotYet } from "./not-yet.js";
import { Refusal } from "./refusal.js";
import { RoundAnswer } from "./round-answer.js";
import { useFocusOnTurn } from "./use-focus-on-turn.js";
import "./walk-round-view.css";

/** The walk-round: circuits are lit one after another, and a person behind the vehicle taps what is lit. */
export function WalkRoundView() {
  const state = round.value;
  useFocusOnTurn("job-end-word", state?.state ?? "", state?.state === "ended");
  if (!state) return null;
  const going = jobGoesOn("walk-round");
  return (
    <div class="walk-round">
      {state.end && <JobEndBanner end={state.end} nothing={nothingSeen} />}
      {going ? (
        <ControlOnly>
          <RoundAnswer state={state} />
        </ControlOnly>
      ) : (
        <Beginning state={state} />
      )}
      {going && state.simulated && <SimulatedLamps state={state} glow={state.simulated} />}
      <Refusal of={["round:start", "round:answer", "round:light", "round:finish"]} />
    </div>
  );
}

const nothingSeen =
  "No light was seen for sure, so the verdict is as before. Walk round again where it is darker, or with somebody who tells you what they see.";

function Beginning({ state }: { state: State }) {
  return (
    <section class="sheet" aria-labelledby="walk-round-title">
      <div class="sheet-head">
        <h2 id="walk-round-title">Walk-round</h2>
      </div>
      <p class="walk-round-lead">
        Current cannot tell left from right where both sides carry the same load. Stand behind the vehicle with this
        page on your phone: circuits are lit in an order that you are not told, and you tap the lamps that you see lit.
        If the phone goes dark or loses its connection, the light goes out.
      </p>
      {state.hindrance && goingOn.value === null && <NotYet title="the walk-round" hindrance={state.hindrance} />}
    </section>
  );
}

const weakGlow = 0.5;

/** What one would see of the simulated vehicle. */
function SimulatedLamps({ state, glow }: { state: State; glow: Readonly<Record<string, number>> }) {
  return (
    <section class="sheet simulated" aria-labelledby="simulated-lamps">
      <div class="sheet-head">
        <h2 id="simulated-lamps">Simulated vehicle: what you would see</h2>
        <p class="sheet-note">Only on the virtual bench</p>
      </div>
      <RearView
        lamps={state.lamps}
        label="The simulated vehicle from behind"
        filament={(_lamp, { id, word }) => {
          const share = glow[id] ?? 0;
          const look = share < 0.1 ? "dark" : share < weakGlow ? "weak" : "glows";
          return (
            <span key={id} class={`filament filament-${look === "weak" ? "glows filament-weak" : look}`}>
              <BulbIcon lit={look !== "dark"} />
              {word === "Lit" ? look : `${word}: ${look}`}
            </span>
          );
        }}
      />
    </section>
  );
}
