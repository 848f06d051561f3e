import { useState } from "preact/hooks";
import { busy } from "../live/bench-jobs.js";
import { send } from "../live/connection.js";
import { chosenPlan, faults, testedThing } from "../live/workbench-store.js";
import { PutFaults } from "./put-faults.js";
import { Refusal } from "./refusal.js";
import "./faults-panel.css";

/** Puts faults into the simulated vehicle or cable, so that one can see how each of them reads. */
export function FaultsPanel({ step }: { step: number }) {
  const state = faults.value;
  if (!state) return null;
  return (
    <section class="sheet" aria-labelledby="faults-title">
      <div class="sheet-head">
        <h2 id="faults-title">
          <span class="step">{step}</span>Faults in the virtual {testedThing.value}
        </h2>
      </div>
      {chosenPlan.value ? (
        <>
          <PutFaults put={state.put} />
          <PutIn key={chosenPlan.value.id} />
        </>
      ) : (
        <p class="sheet-note">Choose a plan first: it says which faults its wiring can have.</p>
      )}
      <Refusal of={["faults:set"]} />
    </section>
  );
}

function PutIn() {
  const groups = faults.value?.groups ?? [];
  const put = faults.value?.put ?? [];
  const [kind, setKind] = useState("");
  const [choice, setChoice] = useState("");
  const [ohms, setOhms] = useState("");
  const group = groups.find((row) => row.kind === kind) ?? groups[0];
  if (!group) return <p class="sheet-note">This plan has no place for a fault.</p>;
  const place = group.choices.find((row) => row.choice === choice) ?? group.choices[0];
  const ohmsValue = Number(ohms === "" ? group.usualOhms : ohms);
  const ohmsFit = group.usualOhms === null || (Number.isFinite(ohmsValue) && ohmsValue > 0 && ohmsValue <= 1e6);
  const twice = put.some((row) => row.choice === place?.choice);

  const add = (event: Event) => {
    event.preventDefault();
    if (!place || twice || !ohmsFit) return;
    const added = { choice: place.choice, ...(group.usualOhms === null ? {} : { ohms: ohmsValue }) };
    void send("faults:set", { faults: [...put.map(asPut), added] });
  };
  return (
    <form class="put-in" onSubmit={add}>
      <div class="field">
        <label for="fault-kind">What is wrong</label>
        <select id="fault-kind" value={group.kind} onChange={(event) => setKind(event.currentTarget.value)}>
          {groups.map((row) => (
            <option key={row.kind} value={row.kind}>
              {row.title}
            </option>
          ))}
        </select>
        <p class="sheet-note">{group.meaning}</p>
      </div>
      <div class="field">
        <label for="fault-place">Where</label>
        <select id="fault-place" value={place?.choice} onChange={(event) => setChoice(event.currentTarget.value)}>
          {group.choices.map((row) => (
            <option key={row.choice} value={row.choice}>
              {row.place}
            </option>
          ))}
        </select>
        <p class="sheet-note whole-choice" aria-hidden="true">
          {place?.place}
        </p>
      </div>
      {group.usualOhms !== null && (
        <div class="field">
          <label for="fault-ohms">Resistance in ohms</label>
          <input
            id="fault-ohms"
            inputMode="decimal"
            placeholder={String(group.usualOhms)}
            value={ohms}
            onInput={(event) => setOhms(event.currentTarget.value)}
            aria-invalid={!ohmsFit}
          />
          {!ohmsFit && <p class="sheet-note">Give a number above 0, such as {group.usualOhms}.</p>}
        </div>
      )}
      <button type="submit" class="button" disabled={twice || !ohmsFit || busy.value}>
        {twice ? "Already put in" : "Put this fault in"}
      </button>
    </form>
  );
}

function asPut(row: { choice: string; ohms: number | null }) {
  return row.ohms === null ? { choice: row.choice } : { choice: row.choice, ohms: row.ohms };
}
