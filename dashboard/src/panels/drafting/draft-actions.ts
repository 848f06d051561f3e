import { batch, signal } from "@preact/signals";
import { askDocument, askTemplate, deletePlan, savePlan } from "../../live/drafting-requests.js";
import { viewPath } from "../../view.js";
import { desk, deskKey, moveHistory } from "./draft-desk.js";
import { type Draft, textAt } from "./draft-paths.js";
import { draftOf, dropDraft, isEdited, newKey, putDraft } from "./draft-shelf.js";

/** What the last action could not do, in words; beside it what can be done instead. */
export const actionFailure = signal<{ readonly code: string; readonly message: string } | null>(null);
/** What the last action did, for the reader and for screen readers. */
export const actionDone = signal<string | null>(null);
/** The plan or draft that was deleted last, until something else is done. */
export const deleted = signal<{ readonly name: string; readonly draft: Draft; readonly own: boolean } | null>(null);

/** What was said about the action before is said no more. */
export function clearActions(): void {
  batch(() => {
    actionFailure.value = null;
    actionDone.value = null;
    deleted.value = null;
  });
}

const goTo = (key: string) => {
  location.hash = `plan/draft/${encodeURIComponent(key)}`;
};

/** Puts a new draft on the desk. */
export function startDraft(draft: Draft): void {
  clearActions();
  const key = newKey();
  putDraft({ key, draft, base: JSON.stringify(draft), saved: null });
  goTo(key);
}

export async function startFromTemplate(
  id: string,
  connector: string,
  far: string | null,
  name: string,
): Promise<void> {
  clearActions();
  const answer = await askTemplate(id, connector, far);
  if (!answer.ok) actionFailure.value = answer;
  else startDraft({ ...(answer.value as Draft), ...(name.trim() === "" ? {} : { name: name.trim() }) });
}

export async function copyPlan(id: string): Promise<void> {
  clearActions();
  const answer = await askDocument(id);
  if (!answer.ok) {
    actionFailure.value = answer;
    return;
  }
  const plan = answer.value.plan as Draft;
  startDraft({ ...plan, name: `${textAt(plan, ["name"]).slice(0, 110)}, copy` });
}

/** Saves the draft on the desk, in the place of its plan or as a new one. */
export async function saveDesk(asNew = false): Promise<void> {
  const open = desk.value;
  if (!open) return;
  clearActions();
  const answer = await savePlan({ draft: open.draft, replaces: asNew ? null : open.saved });
  if (!answer.ok) {
    actionFailure.value = answer;
    return;
  }
  const { id, version, remark } = answer.value;
  const kept = { key: id, draft: open.draft, base: JSON.stringify(open.draft), saved: { id, version } };
  const here = deskKey.value === open.key;
  batch(() => {
    // What was typed while it was being saved is not saved yet.
    putDraft({ ...kept, draft: draftOf(open.key)?.draft ?? open.draft });
    actionDone.value = remark ?? "Saved.";
    if (open.key === id) return;
    moveHistory(open.key, id);
    if (here) {
      deskKey.value = id;
      viewPath.value = ["draft", id];
    }
    dropDraft(open.key);
  });
  // The same page under the plan's own name: not a step of its own for the way back.
  if (here && open.key !== id) history.replaceState(null, "", `#plan/draft/${encodeURIComponent(id)}`);
}

export async function deleteOwn(id: string): Promise<void> {
  clearActions();
  const known = await askDocument(id);
  const answer = known.ok ? await deletePlan(id, known.value.version) : known;
  if (!answer.ok) {
    actionFailure.value = answer;
    return;
  }
  const { plan } = answer.value as { readonly plan: object };
  const open = draftOf(id);
  dropDraft(id);
  // Edits that were never saved are a draft of their own now.
  if (open && isEdited(open)) putDraft({ ...open, key: newKey(), saved: null });
  deleted.value = { name: textAt(plan as Draft, ["name"]), draft: plan as Draft, own: true };
}

/** Throws a draft away that was never saved, or the edits of one that was. */
export function discardDraft(key: string, draft: Draft): void {
  clearActions();
  dropDraft(key);
  deleted.value = { name: textAt(draft, ["name"]) || "the draft without a name", draft, own: false };
}

export async function undelete(): Promise<void> {
  const back = deleted.value;
  if (!back) return;
  clearActions();
  if (!back.own) {
    putDraft({ key: newKey(), draft: back.draft, base: JSON.stringify(back.draft), saved: null });
    actionDone.value = `${back.name} is back among the drafts.`;
    return;
  }
  const answer = await savePlan({ draft: back.draft, replaces: null });
  if (answer.ok) actionDone.value = `${back.name} is back.`;
  else actionFailure.value = answer;
}
