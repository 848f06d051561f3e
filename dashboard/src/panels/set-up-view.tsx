import { chosenBench } from "../live/workbench-store.js";
import { BenchPanel } from "./bench-panel.js";
import { ChecksPanel } from "./checks-panel.js";
import { FaultsPanel } from "./faults-panel.js";
import { PlanPanel } from "./plan-panel.js";
import { PlanSheet } from "./plan-sheet.js";
import "./set-up-view.css";

/** Everything that comes before a walk, in the order in which a person sees to it. */
export function SetUpView() {
  const virtual = chosenBench.value?.kind === "virtual";
  return (
    <div class="set-up">
      <div class="set-up-choose">
        <BenchPanel step={1} />
        <PlanPanel step={2} />
      </div>
      <PlanSheet />
      <div class="set-up-prepare">
        {virtual && <FaultsPanel step={3} />}
        <ChecksPanel step={virtual ? 4 : 3} />
      </div>
    </div>
  );
}
