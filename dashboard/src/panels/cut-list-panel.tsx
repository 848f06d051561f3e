import type { PlanView } from "@pinwalk/host/server/contract.js";
import { chosenPlan } from "../live/workbench-store.js";
import { CutList } from "./cut-list.js";

/** What to get from the shelf for a plan, the chosen one unless told, and the way to take everything about it along on paper. */
export function CutListPanel({ plan = chosenPlan.value }: { plan?: PlanView | null }) {
  if (!plan) return null;
  return (
    <section class="sheet" aria-labelledby="cut-list-title">
      <div class="sheet-head">
        <h2 id="cut-list-title">Cut list</h2>
        <button type="button" class="button" onClick={() => print()}>
          Print plan sheet
        </button>
      </div>
      <CutList list={plan.cutList} />
    </section>
  );
}
