import { chosenBench } from "../live/workbench-store.js";
import { BenchPanel } from "./bench-panel.js";
import { ChecksPanel } from "./checks-panel.js";
import { ControlOnly } from "./control-only.js";
import { CutListPanel } from "./cut-list-panel.js";
import { FaultsPanel } from "./faults-panel.js";
import { PlanPanel } from "./plan-panel.js";
import { PlanSheet } from "./plan-sheet.js";
import { PrintedPlan } from "./printed-plan.js";
import { RemarksPanel } from "./remarks-panel.js";
import { WiringPanel } from "./wiring-panel.js";
import "./set-up-view.css";

/** Everything that comes before a walk, in the order in which a person sees to it. */
export function SetUpView() {
  const virtual = chosenBench.value?.kind === "virtual";
  return (
    <div class="set-up">
      <div class="set-up-choose">
        <ControlOnly>
          <BenchPanel step={1} />
        </ControlOnly>
        <ControlOnly>
          <PlanPanel step={2} />
        </ControlOnly>
      </div>
      <div class="set-up-plan">
        <PlanSheet />
        <RemarksPanel />
        <WiringPanel />
        <CutListPanel />
      </div>
      <div class="set-up-prepare">
        {virtual && (
          <ControlOnly>
            <FaultsPanel step={3} />
          </ControlOnly>
        )}
        <ControlOnly>
          <ChecksPanel step={virtual ? 4 : 3} />
        </ControlOnly>
      </div>
      <PrintedPlan />
    </div>
  );
}
