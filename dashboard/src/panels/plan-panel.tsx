import type { PlanRefused, PlanSummary } from "@pinwalk/host/server/contract.js";
import { ToneIcon } from "../drawing/icons.js";
import { busy } from "../live/bench-jobs.js";
import { send } from "../live/connection.js";
import { plans } from "../live/workbench-store.js";
import { PlanUpload } from "./plan-upload.js";
import { ProblemList } from "./problem-list.js";
import { Refusal } from "./refusal.js";

/** The plans at hand, and a way to bring another. */
export function PlanPanel({ step }: { step: number }) {
  const state = plans.value;
  if (!state) return null;
  return (
    <section class="sheet" aria-labelledby="plan-title">
      <div class="sheet-head">
        <h2 id="plan-title">
          <span class="step">{step}</span>Plan
        </h2>
      </div>
      <div class="plan-ways">
        <a class="button" href="#plan">
          Make or edit a plan
        </a>
        <PlanUpload />
      </div>
      <Refusal of={["plan:upload", "plan:choose"]} />
      <ChosenChanged />
      <ul class="choice-list">
        {ownFirst(state.list).map((plan) => (
          <PlanChoice key={plan.id} plan={plan} chosen={plan.id === state.chosen?.id} />
        ))}
      </ul>
      {state.list.length === 0 && <p class="sheet-note">No plan yet. Make one, or open a plan file.</p>}
      {state.refused.map((refused) => (
        <RefusedFile key={refused.fileName} refused={refused} />
      ))}
      <p class="sheet-note set-off">{state.problem ?? `Plans that you open are kept in ${state.folder}.`}</p>
    </section>
  );
}

/** What was edited since it was chosen is not on the workbench yet: what was measured belongs to the plan as it was. */
function ChosenChanged() {
  const { chosen, chosenIs } = plans.value ?? {};
  if (!chosen || chosenIs !== "changed") return null;
  return (
    <div class="refusal" role="status">
      <ToneIcon tone="warning" />
      <strong>{chosen.name} has been edited since it was chosen. On the workbench is the plan as it was.</strong>
      <p>
        <button
          type="button"
          class="button"
          disabled={busy.value}
          onClick={() => void send("plan:choose", { planId: chosen.id })}
        >
          Take the edited plan
        </button>
      </p>
    </div>
  );
}

function ownFirst(list: readonly PlanSummary[]): readonly PlanSummary[] {
  return [...list.filter((plan) => plan.origin === "own"), ...list.filter((plan) => plan.origin === "sample")];
}

const kindWords = { install: "Vehicle", cable: "Cable" } as const;

function PlanChoice({ plan, chosen }: { plan: PlanSummary; chosen: boolean }) {
  return (
    <li>
      <label class="choice">
        <input
          type="radio"
          name="plan"
          checked={chosen}
          disabled={busy.value}
          onChange={() => void send("plan:choose", { planId: plan.id })}
        />
        <span class="choice-name">{plan.name}</span>
        <span class="choice-detail">
          {kindWords[plan.kind]}, {plan.connectors}, {plan.circuits} {plan.kind === "cable" ? "conductors" : "circuits"}
          {plan.origin === "sample" ? ", sample" : ""}
        </span>
      </label>
    </li>
  );
}

function RefusedFile({ refused }: { refused: PlanRefused }) {
  return (
    <details class="refused-file">
      <summary>{refused.fileName} in the plan folder cannot be used</summary>
      <ProblemList problems={refused.problems} />
    </details>
  );
}
