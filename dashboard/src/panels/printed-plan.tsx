import type { FaceView, PlanView } from "@pinwalk/host/server/contract.js";
import { ConnectorFace } from "../drawing/connector-face.js";
import { WireSwatch } from "../drawing/wire-swatch.js";
import { chosenPlan } from "../live/workbench-store.js";
import { remarkCount } from "../words/severity-words.js";
import { CutList } from "./cut-list.js";
import { ExpectedLoads } from "./expected-loads.js";
import { RemarkList } from "./remark-list.js";
import "./printed-plan.css";

/** The plan on paper: only a printer sees it. Each connector from both sides, as the mirror image is the classic mistake. */
export function PrintedPlan() {
  const plan = chosenPlan.value;
  if (!plan) return null;
  return (
    <div class="printed-plan">
      <h2>{plan.name}</h2>
      <p>
        {plan.connectors}, {plan.nominalVolts} V. Before anything is cut: {remarkCount(plan.remarks)}.
      </p>
      {plan.faces.map((face) => (
        <PrintedFace key={face.title} face={face} />
      ))}
      <ExpectedLoads plan={plan} />
      <CutList list={plan.cutList} />
      <Remarks plan={plan} />
      <p class="printed-caution">
        Follow the vehicle maker's wiring information. A passed check does not replace the legal inspection.
      </p>
    </div>
  );
}

function PrintedFace({ face }: { face: FaceView }) {
  return (
    <section class="printed-face">
      <h3>{face.title}</h3>
      <div class="printed-sides">
        <figure>
          <ConnectorFace face={face} side="mating" lit={null} tones={{}} />
          <figcaption>
            <strong>Mating side</strong>, looking into it
          </figcaption>
        </figure>
        <figure>
          <ConnectorFace face={face} side="wiring" lit={null} tones={{}} />
          <figcaption>
            <strong>Wiring side</strong>, from the back: mirror image
          </figcaption>
        </figure>
        <ul>
          {face.pins.map((pin) => (
            <li key={pin.pin}>
              <b>{pin.pin}</b> {pin.functionText} {pin.role !== "unused" && <WireSwatch colour={pin.colour} />}
            </li>
          ))}
        </ul>
      </div>
      {face.note && <p>{face.note}</p>}
    </section>
  );
}

function Remarks({ plan }: { plan: PlanView }) {
  return (
    <section>
      <h3>Remarks</h3>
      {plan.remarks.length > 0 ? <RemarkList remarks={plan.remarks} /> : <p>Nothing to remark.</p>}
    </section>
  );
}
