import { useEffect } from "preact/hooks";
import { mayDraft } from "../live/people.js";
import { link } from "../live/workbench-store.js";
import { viewPath } from "../view.js";
import { choices, choicesFailure, loadChoices } from "./drafting/draft-desk.js";
import { DraftPage } from "./drafting/draft-page.js";
import { DraftsPanel, PlanList } from "./drafting/plan-list.js";
import { TemplateForm } from "./drafting/template-form.js";
import { Failure } from "./records/failure.js";
import "./control-only.css";
import "./drafting/drafting.css";

/** Making, copying, editing and checking plans: the plans at hand, or one draft. */
export function PlanWorkView() {
  const connected = link.value === "connected";
  useEffect(() => {
    if (connected) void loadChoices();
  }, [connected]);
  const [page, key] = viewPath.value;
  if (page === "draft" && key) return <DraftPage draftKey={key} />;
  return (
    <fieldset class="control-only" disabled={!mayDraft.value}>
      <div class="plan-work">
        <DraftsPanel />
        {choices.value ? <TemplateForm /> : <Failure message={choicesFailure.value} />}
        <PlanList />
      </div>
    </fieldset>
  );
}
