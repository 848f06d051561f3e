import type { PlanView } from "@pinwalk/host/server/contract.js";
import { chosenPlan } from "../live/workbench-store.js";
import { ConnectorPanel } from "./connector-panel.js";
import { ExpectedLoads } from "./expected-loads.js";
import "./plan-sheet.css";

/** What the chosen plan says should be there: the connector's face, and what each pin should draw. */
export function PlanSheet() {
  const plan = chosenPlan.value;
  return (
    <section class="sheet plan-sheet" aria-labelledby="plan-sheet-title">
      <div class="sheet-head">
        <h2 id="plan-sheet-title">{plan ? plan.name : "What should be there"}</h2>
        {plan && (
          <p class="sheet-note">
            {plan.connectors}, {plan.nominalVolts} V
          </p>
        )}
      </div>
      {plan ? <Planned plan={plan} /> : <NoPlan />}
    </section>
  );
}

function NoPlan() {
  return (
    <div class="empty">
      <p>
        Choose a plan on this page, or make one of your own. Here you will then see the connector with its pins and wire
        colours, and the current that each pin should draw.
      </p>
    </div>
  );
}

function Planned({ plan }: { plan: PlanView }) {
  return (
    <div class="plan-sheet-body">
      <ConnectorPanel plan={plan} />
      <ExpectedLoads plan={plan} />
    </div>
  );
}
