import type { GuideStep, GuideStepView, GuideView } from "@pinwalk/host/server/guided-check/guide-contract.js";
import { StepMark } from "../../drawing/step-mark.js";
import { busy } from "../../live/bench-jobs.js";
import { guide, walk } from "../../live/workbench-store.js";
import { view } from "../../view.js";
import { guideStateWords, guideWords } from "../../words/guide-words.js";
import { ControlOnly } from "../control-only.js";
import { Refusal } from "../refusal.js";
import { AllSteps } from "./all-steps.js";
import { ChecksHere } from "./checks-here.js";
import { NextButton } from "./next-button.js";
import { UnfinishedChecks } from "./unfinished-checks.js";
import "./guide-strip.css";

/** The steps of an install check above whatever page one is at: what is done, what comes next, what was left out and why. */
export function GuideStrip({ setUp }: { setUp: boolean }) {
  const state = guide.value;
  if (!state) return null;
  const begun = walk.value?.state !== "idle";
  return (
    <>
      {state.unfinished.length > 0 && (setUp || !begun) && (
        <ControlOnly>
          <UnfinishedChecks checks={state.unfinished} />
        </ControlOnly>
      )}
      {state.steps.length > 0 && (
        <section class="sheet guide" aria-labelledby="guide-title">
          <h2 id="guide-title" class="said-only">
            Install check, step by step
          </h2>
          <ol class="guide-steps">
            {state.steps.map((row) => (
              <Step key={row.step} row={row} next={row.step === state.next} />
            ))}
          </ol>
          {state.takenUp && begun && (
            <p class="guide-remark">
              <strong>Taken up again.</strong>{" "}
              {state.takenUp.changed ??
                "Go on only if it is the same vehicle and nothing on it was changed since; otherwise measure every pin again."}
            </p>
          )}
          {state.problem && <p class="guide-remark">{state.problem}</p>}
          {!busy.value && (
            <div class="guide-foot">
              <ControlOnly>
                <NextButton guide={state} />
              </ControlOnly>
              <ControlOnly>
                <AllSteps guide={state} />
              </ControlOnly>
            </div>
          )}
          <Refusal of={["guide:leave-out", "guide:take-up", "guide:put-away"]} />
        </section>
      )}
      {powerNext(state) && (
        <ControlOnly>
          <ChecksHere />
        </ControlOnly>
      )}
    </>
  );
}

function Step({ row, next }: { row: GuideStepView; next: boolean }) {
  const state = next && row.state === "to-come" ? "next" : row.state;
  return (
    <li
      class={`guide-step guide-${row.state}${next ? " guide-next" : ""}`}
      aria-current={next || row.state === "now" ? "step" : undefined}
    >
      <StepMark state={state} />
      <span class="guide-word">{guideWords[row.step].word}</span>
      <span class="guide-state">
        {state === "next" ? "next" : guideStateWords[row.state]}
        {row.detail && `: ${row.detail}`}
      </span>
    </li>
  );
}

const measuring: readonly GuideStep[] = ["check-list", "rest", "low-current", "drive"];

/** Whether the next thing on this page puts power on. After a verdict the verdict comes first, not the list. */
function powerNext({ next }: GuideView): boolean {
  if (next === null) return false;
  return view.value === "walk" ? measuring.includes(next) : view.value === "walk-round" && next === "walk-round";
}
