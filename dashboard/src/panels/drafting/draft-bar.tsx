import { busy } from "../../live/bench-jobs.js";
import { send } from "../../live/connection.js";
import { mayDraft, mayNotBecause } from "../../live/people.js";
import { link, plans } from "../../live/workbench-store.js";
import { ampsText } from "../../words/amounts.js";
import { Failure } from "../records/failure.js";
import { Refusal } from "../refusal.js";
import { actionDone, actionFailure, saveDesk } from "./draft-actions.js";
import { canRedo, canUndo, desk, draft, redo, undo, weighed, weighFailure, weighingBehind } from "./draft-desk.js";
import { exportDraft } from "./draft-files.js";
import { goToProblem, headId } from "./draft-focus.js";
import { textAt } from "./draft-paths.js";
import { draftsKept, isEdited } from "./draft-shelf.js";

/** The name of the draft, and the way back to all plans. */
export function DraftHead() {
  return (
    <div class="draft-head">
      <a class="button" href="#plan">
        All plans
      </a>
      <h2 id={headId} tabIndex={-1}>
        {textAt(draft.value, ["name"]) || "Plan without a name"}
      </h2>
      <nav class="draft-jumps" aria-label="Parts of this page">
        {(textAt(draft.value, ["kind"]) === "cable" ? cableParts : installParts).map(([title, id]) => (
          <button key={id} type="button" class="button" onClick={() => jumpTo(id)}>
            {title}
          </button>
        ))}
      </nav>
    </div>
  );
}

const results = ["What it comes to", "loads-title"] as const;
const cableParts = [["Conductors", "conductors-title"], results] as const;
const installParts = [
  ["Circuits", "circuits-title"],
  ["Lamps", "sockets-title"],
  ["Ground", "ground-title"],
  results,
] as const;

/** The hash belongs to the pages, so this moves the focus by hand. */
function jumpTo(id: string): void {
  const place = document.getElementById(id);
  if (!place) return;
  place.tabIndex = -1;
  place.scrollIntoView();
  place.focus({ preventScroll: true });
}

/** How the draft stands, and what can be done with it; it stays in sight. */
export function DraftBar() {
  const open = desk.value;
  if (!open) return null;
  const edited = isEdited(open);
  const ready = (weighed.value?.problems.length ?? 1) === 0 && !weighingBehind.value;
  return (
    <div class="draft-bar">
      <Standing />
      <div class="draft-bar-actions">
        <BarButton words="Undo" closed={!canUndo.value || !mayDraft.value} onPress={undo} />
        <BarButton words="Redo" closed={!canRedo.value || !mayDraft.value} onPress={redo} />
        <BarButton words="Export" closed={false} onPress={() => exportDraft(draft.value)} />
        <BarButton
          words="Save"
          solid
          closed={!edited || !ready || link.value !== "connected" || !mayDraft.value}
          onPress={() => void saveDesk()}
        />
        {open.saved && !edited && <UsePlan id={open.saved.id} />}
      </div>
      <LoadsLine />
      <Failure message={actionFailure.value?.message ?? null} />
      {["changed", "no-such-plan"].includes(actionFailure.value?.code ?? "") && (
        <button type="button" class="button" onClick={() => void saveDesk(true)}>
          Save as a new plan
        </button>
      )}
      <Refusal of={["plan:choose"]} />
      {!draftsKept.value && (
        <p class="sheet-note">This browser keeps nothing over a reload: save or export before you leave.</p>
      )}
    </div>
  );
}

/** On a narrow screen the results stand far below; what every pin should draw stays in sight. */
function LoadsLine() {
  const expected = weighed.value?.view?.expected ?? [];
  if (expected.length === 0) return null;
  return (
    <ul class="draft-loads-line" aria-label="Expected currents">
      {expected.map(({ pin, amps, high }) => (
        <li key={pin}>
          <b>{pin}</b> {ampsText(amps, high)}
        </li>
      ))}
    </ul>
  );
}

interface BarButtonProps {
  readonly words: string;
  readonly closed: boolean;
  readonly solid?: boolean;
  readonly onPress: () => void;
}

/** Closed rather than disabled where there is nothing to do: a press that closes it leaves the keyboard on it. */
function BarButton({ words, closed, solid = false, onPress }: BarButtonProps) {
  return (
    <button
      type="button"
      class={solid ? "button button-solid" : "button"}
      aria-disabled={closed}
      onClick={() => {
        if (!closed) onPress();
      }}
    >
      {words}
    </button>
  );
}

function UsePlan({ id }: { id: string }) {
  const state = plans.value;
  const chosen = state?.chosen?.id === id && state.chosenIs === "same";
  const use = async () => {
    if (chosen || (await send("plan:choose", { planId: id })).ok) location.hash = "set-up";
  };
  return (
    <button
      type="button"
      class="button button-solid"
      disabled={busy.value || mayNotBecause.value !== null}
      onClick={() => void use()}
    >
      {chosen ? "Go to set up" : "Use this plan"}
    </button>
  );
}

/** How the draft stands, in one line; an open point is one press away. */
function Standing() {
  const first = weighed.value?.problems[0];
  return (
    <p class="draft-standing">
      <span role="status">{standingWords()}</span>
      {first && (
        <button type="button" class="button" onClick={() => goToProblem(first.path)}>
          Show the first
        </button>
      )}
    </p>
  );
}

function standingWords(): string {
  if (!mayDraft.value) return "You watch here: this plan can be read, not changed.";
  if (link.value !== "connected") return "Not connected. What you type is kept in this browser.";
  if (weighFailure.value !== null) return weighFailure.value;
  if (weighingBehind.value) return "Working it out …";
  const open = weighed.value?.problems.length ?? 0;
  if (open > 0) return openPoints(open);
  return desk.value && isEdited(desk.value) ? "In order, not saved yet." : (actionDone.value ?? "Saved.");
}

const openPoints = (count: number) => `${count} ${count === 1 ? "point is" : "points are"} open.`;
