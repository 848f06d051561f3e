import type { PlanView } from "@pinwalk/host/server/contract.js";
import { chosenPlan } from "../live/workbench-store.js";
import { remarkCount } from "../words/severity-words.js";
import { RemarkList } from "./remark-list.js";
import "./remarks-panel.css";

/** What is to be said about a plan, the chosen one unless told, before anything is cut: problems and warnings in the open, notes folded. */
export function RemarksPanel({ plan = chosenPlan.value }: { plan?: PlanView | null }) {
  if (!plan) return null;
  const heavy = plan.remarks.filter((remark) => remark.severity !== "note");
  const notes = plan.remarks.filter((remark) => remark.severity === "note");
  return (
    <section class="sheet remarks-panel" aria-labelledby="remarks-title">
      <div class="sheet-head">
        <h2 id="remarks-title">Before anything is cut</h2>
        <p class="sheet-note">{remarkCount(plan.remarks)}</p>
      </div>
      {heavy.length > 0 ? (
        <RemarkList remarks={heavy} />
      ) : (
        <p>The check of this plan found no problem and nothing to look at again.</p>
      )}
      {notes.length > 0 && (
        <details class="fold">
          <summary>
            {notes.length} {notes.length === 1 ? "note" : "notes"}: figures to know, with their limits and sources
          </summary>
          <RemarkList remarks={notes} />
        </details>
      )}
    </section>
  );
}
