import type { PlanSummary } from "@pinwalk/host/server/contract.js";
import { useEffect, useRef } from "preact/hooks";
import { mayDraft } from "../../live/people.js";
import { plans } from "../../live/workbench-store.js";
import { Failure } from "../records/failure.js";
import {
  actionDone,
  actionFailure,
  clearActions,
  copyPlan,
  deleted,
  deleteOwn,
  discardDraft,
  startDraft,
  undelete,
} from "./draft-actions.js";
import { importDraft } from "./draft-files.js";
import { textAt } from "./draft-paths.js";
import { dropUnedited, isEdited, openDrafts } from "./draft-shelf.js";

/** The plans at hand, each with what can be done with it. */
export function PlanList() {
  const list = plans.value?.list ?? [];
  useEffect(() => {
    clearActions();
    dropUnedited();
  }, []);
  const own = list.filter(({ origin }) => origin === "own");
  const samples = list.filter(({ origin }) => origin === "sample");
  return (
    <section class="sheet" aria-labelledby="plans-title">
      <div class="sheet-head">
        <h2 id="plans-title">Plans at hand</h2>
        <ImportButton />
      </div>
      <Failure message={actionFailure.value?.message ?? null} />
      <p role="status">{actionDone.value}</p>
      {deleted.value && (
        <p class="draft-deleted" role="status">
          <span>{deleted.value.name} is deleted.</span>
          <button type="button" class="button" onClick={() => void undelete()}>
            Undo
          </button>
        </p>
      )}
      <h3>My plans</h3>
      {own.length === 0 && <p class="sheet-note">None yet. A draft that you save stands here.</p>}
      <ul class="draft-plans">
        {own.map((plan) => (
          <PlanRow key={plan.id} plan={plan} />
        ))}
      </ul>
      <h3>Samples</h3>
      <p class="sheet-note">Samples stay as they are; a copy is yours.</p>
      <ul class="draft-plans">
        {samples.map((plan) => (
          <PlanRow key={plan.id} plan={plan} />
        ))}
      </ul>
    </section>
  );
}

/** What somebody has begun in this browser and not saved yet. */
export function DraftsPanel() {
  const edited = openDrafts.value.filter(isEdited);
  if (edited.length === 0) return null;
  return (
    <section class="sheet drafts-panel" aria-labelledby="drafts-title">
      <div class="sheet-head">
        <h2 id="drafts-title">Not saved yet</h2>
      </div>
      <ul class="draft-plans">
        {edited.map((one) => {
          const name = textAt(one.draft, ["name"]) || "Plan without a name";
          return (
            <li key={one.key}>
              <p>
                <b>{name}</b>
                <span class="sheet-note">
                  {one.saved ? "edited, the edits are not saved" : "a draft of this browser"}
                </span>
              </p>
              <div>
                <a class="button" href={`#plan/draft/${encodeURIComponent(one.key)}`}>
                  Go on <span class="said-only">with {name}</span>
                </a>
                <button type="button" class="button" onClick={() => discardDraft(one.key, one.draft)}>
                  Throw away <span class="said-only">{one.saved ? `the edits of ${name}` : name}</span>
                </button>
              </div>
            </li>
          );
        })}
      </ul>
    </section>
  );
}

const kindWords = { install: "Vehicle", cable: "Cable" } as const;

function PlanRow({ plan }: { plan: PlanSummary }) {
  const own = plan.origin === "own";
  return (
    <li>
      <p>
        <b>{plan.name}</b>
        <span class="sheet-note">
          {kindWords[plan.kind]}, {plan.connectors}, {plan.circuits} {plan.kind === "cable" ? "conductors" : "circuits"}
        </span>
      </p>
      <div>
        {own && mayDraft.value && (
          <a class="button" href={`#plan/draft/${encodeURIComponent(plan.id)}`}>
            Edit <span class="said-only">{plan.name}</span>
          </a>
        )}
        <button type="button" class="button" onClick={() => void copyPlan(plan.id)}>
          Copy <span class="said-only">{plan.name}</span>
        </button>
        {own && (
          <button type="button" class="button" onClick={() => void deleteOwn(plan.id)}>
            Delete <span class="said-only">{plan.name}</span>
          </button>
        )}
      </div>
    </li>
  );
}

function ImportButton() {
  const field = useRef<HTMLInputElement>(null);
  const open = async (file: File) => {
    const read = await importDraft(file);
    if (read.ok) startDraft(read.draft);
    else actionFailure.value = { code: "not-a-plan", message: read.message };
  };
  return (
    <>
      <input
        ref={field}
        class="said-only"
        type="file"
        accept=".json,application/json"
        tabIndex={-1}
        aria-label="Plan file to import"
        onChange={(event) => {
          const chosen = event.currentTarget.files?.[0];
          event.currentTarget.value = "";
          if (chosen) void open(chosen);
        }}
      />
      <button type="button" class="button" onClick={() => field.current?.click()}>
        Import a file
      </button>
    </>
  );
}
