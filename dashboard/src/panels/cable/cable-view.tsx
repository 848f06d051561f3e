import { busy } from "../../live/bench-jobs.js";
import { cable, chosenPlan, walk, walking } from "../../live/workbench-store.js";
import { ControlOnly } from "../control-only.js";
import { ChecksHere } from "../guide/checks-here.js";
import { NotYet } from "../not-yet.js";
import { PhaseStrip } from "../phase-strip.js";
import { Refusal } from "../refusal.js";
import { VerdictBanner } from "../verdict-banner.js";
import { BatchBegin } from "./batch-begin.js";
import { BatchNow } from "./batch-now.js";
import { BatchTables } from "./batch-tables.js";
import { CableMatrix } from "./cable-matrix.js";
import { ConductorsTable } from "./conductors-table.js";
import "./cable-view.css";

/** The cable check: one cable pin against pin, or many in a row, each kept under its number. */
export function CableView() {
  const state = cable.value;
  const plan = chosenPlan.value;
  if (!state) return null;
  if (plan?.kind !== "cable")
    return (
      <section class="sheet" aria-labelledby="cable-title">
        <h2 id="cable-title">Cable check</h2>
        <NotYet title="the cable check" hindrance="Choose the plan of a cable first." />
      </section>
    );
  const { batch, result } = state;
  const now = walk.value;
  const ended = !walking.value && now?.end ? now : null;
  // After a check its verdict comes first.
  const begin = !batch && !busy.value && (
    <ControlOnly>
      <BatchBegin />
    </ControlOnly>
  );
  return (
    <div class="cable">
      <ControlOnly>
        <ChecksHere />
      </ControlOnly>
      {batch && (
        <ControlOnly>
          <BatchNow batch={batch} hindrance={state.hindrance} />
        </ControlOnly>
      )}
      {!ended && begin}
      <Refusal of={["cable:check", "batch:begin", "batch:end"]} />
      {walking.value && now && <PhaseStrip walk={now} />}
      {ended?.end && <VerdictBanner end={ended.end} planName={ended.planName} benchName={ended.benchName} />}
      {result && !walking.value && (
        <>
          <CableMatrix result={result} />
          <ConductorsTable result={result} />
        </>
      )}
      {ended && begin}
      {batch && batch.rows.length > 0 && <BatchTables batch={batch} />}
    </div>
  );
}
