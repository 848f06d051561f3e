import { chosenPlan } from "../live/workbench-store.js";
import { CutList } from "./cut-list.js";

/** What to get from the shelf for the chosen plan, and the way to take everything about it along on paper. */
export function CutListPanel() {
  const plan = chosenPlan.value;
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
