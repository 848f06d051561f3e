import { goingOn, jobGoesOn } from "../../live/bench-jobs.js";
import { listening } from "../../live/workbench-store.js";
import { ControlOnly } from "../control-only.js";
import { NotYet } from "../not-yet.js";
import { Refusal } from "../refusal.js";
import { useTopOnTurn } from "../use-top-on-turn.js";
import { FindingSheet } from "./finding-sheet.js";
import { HeardSheet } from "./heard-sheet.js";
import { JointsSheet } from "./joints-sheet.js";
import { ListeningEndBanner } from "./listening-end-banner.js";
import { ListeningSettings } from "./listening-settings.js";
import { ListeningStrip } from "./listening-strip.js";
import { OutletPins } from "./outlet-pins.js";
import { OutletStep } from "./outlet-step.js";
import { SaySwitches } from "./say-switches.js";
import { SimulatedSwitches } from "./simulated-switches.js";
import "./find-wires-view.css";

/** Listening with nothing driven: which function a wire of the vehicle carries, and whether an outlet is as it should be. */
export function FindWiresView() {
  const state = listening.value;
  useTopOnTurn(`${state?.run} ${state?.end?.kind}`);
  if (!state) return null;
  const going = jobGoesOn("find-wires");
  const outlet = state.use === "outlet";
  return (
    <div class="find-wires">
      {state.end && !going && <ListeningEndBanner end={state.end} />}
      {going && <ControlOnly>{outlet ? <OutletStep state={state} /> : <HeardSheet state={state} />}</ControlOnly>}
      {!going && state.hindrance && goingOn.value === null && (
        <section class="sheet" aria-labelledby="find-wires-title">
          <div class="sheet-head">
            <h2 id="find-wires-title">Find wires</h2>
          </div>
          <NotYet title="finding wires" hindrance={state.hindrance} />
        </section>
      )}
      {!going && state.hindrance === null && (
        <ControlOnly>
          <ListeningSettings state={state} />
        </ControlOnly>
      )}
      <Refusal
        of={["listening:start", "listening:set-up", "listening:said", "listening:answer", "listening:simulate"]}
      />
      {going && (
        <ControlOnly>
          <div class="listening-both">
            {!outlet && <SaySwitches state={state} />}
            {state.simulated && <SimulatedSwitches simulated={state.simulated} outlet={outlet} />}
          </div>
        </ControlOnly>
      )}
      {!outlet && state.pin !== null && state.run > 0 && <ListeningStrip state={state} going={going} />}
      {state.outlet.length > 0 && <OutletPins state={state} />}
      {(state.findings.length > 0 || !outlet) && <FindingSheet state={state} />}
      {!outlet && <JointsSheet joints={state.joints} />}
    </div>
  );
}
