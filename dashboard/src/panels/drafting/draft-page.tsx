import { useEffect } from "preact/hooks";
import { askDocument } from "../../live/drafting-requests.js";
import { mayDraft } from "../../live/people.js";
import { Failure } from "../records/failure.js";
import { useAnswer } from "../records/use-answer.js";
import { CircuitsEditor } from "./circuit-editor.js";
import { ConductorsEditor } from "./conductors-editor.js";
import { clearActions } from "./draft-actions.js";
import { DraftBar, DraftHead } from "./draft-bar.js";
import { choices, choicesFailure, deskKey, draft, redo, undo, weighing } from "./draft-desk.js";
import { headId } from "./draft-focus.js";
import { type Draft, textAt } from "./draft-paths.js";
import { DraftResults } from "./draft-results.js";
import { draftOf, openDrafts, putDraft } from "./draft-shelf.js";
import { GroundEditor, PlanHeadEditor } from "./plan-head-editor.js";
import { SocketsEditor } from "./socket-editor.js";
import { useWeighing } from "./use-weighing.js";
import { ColourList } from "./wire-fields.js";
import "../control-only.css";

/** The page of one draft: the form, and beside it what the draft comes to. */
export function DraftPage({ draftKey }: { draftKey: string }) {
  // Read here, so that the page is drawn anew when the draft comes onto the shelf.
  const present = openDrafts.value.some(({ key }) => key === draftKey);
  useEffect(() => {
    if (deskKey.value !== draftKey) weighing.value = null;
    deskKey.value = draftKey;
  }, [draftKey]);
  if (choicesFailure.value) return <Failure message={choicesFailure.value} />;
  if (!present) return <TakeUp id={draftKey} />;
  if (!choices.value || deskKey.value !== draftKey) return <p role="status">Taking up the plan …</p>;
  return <Desk />;
}

function Desk() {
  useWeighing();
  useEffect(() => {
    // The page has changed: whoever reads by ear, or goes by keyboard, begins at its heading.
    document.getElementById(headId)?.focus({ preventScroll: true });
    clearActions();
    addEventListener("keydown", onKey);
    return () => removeEventListener("keydown", onKey);
  }, []);
  const cable = textAt(draft.value, ["kind"]) === "cable";
  return (
    <div class="draft-page">
      <DraftHead />
      <DraftBar />
      <fieldset class="control-only" disabled={!mayDraft.value}>
        <div class="draft-form">
          <ColourList />
          <PlanHeadEditor />
          {cable ? (
            <ConductorsEditor />
          ) : (
            <>
              <CircuitsEditor />
              <SocketsEditor />
              <GroundEditor />
            </>
          )}
        </div>
      </fieldset>
      <DraftResults />
    </div>
  );
}

/** Fields that are typed into have an undo of their own. */
function onKey(event: KeyboardEvent): void {
  if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z") return;
  if (event.target instanceof HTMLInputElement && event.target.type === "text") return;
  event.preventDefault();
  if (event.shiftKey) redo();
  else undo();
}

/** A plan that nobody drafts in this browser yet comes from the host. */
function TakeUp({ id }: { id: string }) {
  const answer = useAnswer(askDocument, id);
  useEffect(() => {
    if (!answer?.ok || draftOf(id)) return;
    const { plan, version, origin } = answer.value;
    if (origin === "own")
      putDraft({ key: id, draft: plan as Draft, base: JSON.stringify(plan), saved: { id, version } });
  }, [answer, id]);
  const gone = answer && (!answer.ok || answer.value.origin !== "own");
  if (!gone) return <p role="status">Taking up the plan …</p>;
  return (
    <section class="sheet">
      <Failure message={answer.ok ? "A sample cannot be changed: copy it." : answer.message} />
      <a class="button" href="#plan">
        All plans
      </a>
    </section>
  );
}
