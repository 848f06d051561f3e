import { goingOn, jobGoesOn } from "../../live/bench-jobs.js";
import { flexWatch } from "../../live/workbench-store.js";
import { ControlOnly } from "../control-only.js";
import { NotYet } from "../not-yet.js";
import { Refusal } from "../refusal.js";
import { useTopOnTurn } from "../use-top-on-turn.js";
import { FlexConductors } from "./flex-conductors.js";
import { FlexEndBanner } from "./flex-end-banner.js";
import { FlexGaps } from "./flex-gaps.js";
import { FlexNowSheet } from "./flex-now-sheet.js";
import { FlexSettings } from "./flex-settings.js";
import { FlexStrips } from "./flex-strips.js";
import { FlexWiggle } from "./flex-wiggle.js";
import "./flex-watch-view.css";

/** A cable's conductors, driven one after the other while the person bends and pulls the cable. */
export function FlexWatchView() {
  const state = flexWatch.value;
  useTopOnTurn(`${state?.run} ${state?.end?.kind}`);
  if (!state) return null;
  const going = jobGoesOn("flex-watch");
  return (
    <div class="flex-page">
      {state.end && !going && <FlexEndBanner end={state.end} state={state} />}
      {going ? (
        <ControlOnly>
          <FlexNowSheet state={state} />
        </ControlOnly>
      ) : (
        <section class="sheet" aria-labelledby="flex-title">
          <div class="sheet-head">
            <h2 id="flex-title">Flex watch</h2>
          </div>
          <p class="flex-lead">
            Plug both ends of the cable in. Each conductor is driven into its far load while you bend and pull the
            cable, hardest where it enters the connectors. Every interruption of 1&nbsp;ms or longer is counted.
          </p>
          {state.hindrance && goingOn.value === null && <NotYet title="the flex watch" hindrance={state.hindrance} />}
        </section>
      )}
      <Refusal of={["flex-watch:start", "flex-watch:set-up", "flex-watch:next", "flex-watch:wiggle"]} />
      {state.run > 0 && <FlexStrips state={state} going={going} />}
      {going && state.simulated && (
        <ControlOnly>
          <FlexWiggle />
        </ControlOnly>
      )}
      <div class="flex-both">
        {state.conductors.length > 0 && <FlexConductors state={state} />}
        {state.run > 0 && <FlexGaps state={state} />}
        {!going && state.conductors.length > 0 && (
          <ControlOnly>
            <FlexSettings state={state} />
          </ControlOnly>
        )}
      </div>
    </div>
  );
}
