import type { FacePin, FaceView, PlanView } from "@pinwalk/host/server/contract.js";
import { WireSwatch } from "../drawing/wire-swatch.js";
import { WiringDrawing } from "../drawing/wiring-drawing.js";
import { chosenPlan } from "../live/workbench-store.js";
import { remarkCount } from "../words/severity-words.js";
import { SideFigure } from "./connector-sides.js";
import { CutList } from "./cut-list.js";
import { ExpectedLoads } from "./expected-loads.js";
import { RemarkList } from "./remark-list.js";
import "./printed-plan.css";

/** The plan on paper: only a printer sees it. Each connector from both sides, as the mirror image is the classic mistake. */
export function PrintedPlan({ plan = chosenPlan.value }: { plan?: PlanView | null }) {
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
      <section class="printed-wiring">
        <h3>Wiring</h3>
        <WiringDrawing wiring={plan.wiring} />
      </section>
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
        <SideFigure face={face} side="mating" />
        <SideFigure face={face} side="wiring" />
        <ul>
          {face.pins.map((pin) => (
            <li key={pin.pin}>
              <b>{pin.pin}</b> {pin.functionText} {pin.role !== "unused" && <WireSwatch colour={pin.colour} />}
              {otherColours(pin) !== "" && <small> ({otherColours(pin)})</small>}
            </li>
          ))}
        </ul>
      </div>
      {face.note && <p>{face.note}</p>}
    </section>
  );
}

/** What the conventions that this plan does not follow give the pin. */
function otherColours({ byConvention }: FacePin): string {
  const others = byConvention.filter(({ named }) => !named);
  return others.map(({ name, colour }) => `${colour} by ${name}`).join(", ");
}

function Remarks({ plan }: { plan: PlanView }) {
  return (
    <section>
      <h3>Remarks</h3>
      {plan.remarks.length > 0 ? <RemarkList remarks={plan.remarks} /> : <p>Nothing to remark.</p>}
    </section>
  );
}
