import { useId } from "preact/hooks";
import { choices, draft, edit } from "./draft-desk.js";
import { More, NumberField, Problems, SelectField } from "./draft-fields.js";
import { focusSoon, removeAt } from "./draft-focus.js";
import { pinsAt, usualColour } from "./draft-lookup.js";
import { type Draft, type Json, listAt, type Path, textAt, valueAt } from "./draft-paths.js";
import { WireFields } from "./wire-fields.js";

const path = ["conductors"] as const;

/** Every conductor of a cable: from which near pin to which far pin, over which wire. */
export function ConductorsEditor() {
  const conductors = listAt(draft.value, path);
  return (
    <section class="sheet" aria-labelledby="conductors-title">
      <div class="sheet-head">
        <h2 id="conductors-title" tabIndex={-1}>
          Conductors
        </h2>
        <p class="sheet-note">A far pin without a conductor is expected to be empty.</p>
      </div>
      <Problems at={[path]} />
      <ul class="draft-cards">
        {conductors.map((conductor, at) => (
          // Conductors have no name that stays while their pins are being chosen.
          <ConductorCard key={at} conductor={conductor} path={[...path, at]} />
        ))}
      </ul>
      <button
        type="button"
        class="button"
        disabled={conductors.length >= 13}
        onClick={() => {
          edit([...path, conductors.length], startConductor(conductors));
          focusSoon([...path, conductors.length, "near"]);
        }}
      >
        Add a conductor
      </button>
    </section>
  );
}

/** The next near pin without a conductor, to the far pin of its function, as long as the conductor before. */
function startConductor(conductors: readonly Json[]): Draft {
  const taken = (end: "near" | "far") => new Set(conductors.map((one) => textAt(one, [end])));
  const near = pinsAt("near").find(({ pin }) => !taken("near").has(pin));
  const far = pinsAt("far").find(({ pin, function: of }) => of === near?.function && !taken("far").has(pin));
  const metres = valueAt(conductors.at(-1), ["wire", "metres"]) ?? choices.value?.usual.cableMetres ?? 0;
  const colour = near && usualColour(near, "near");
  return {
    ...(near ? { near: near.pin } : {}),
    ...(far ? { far: far.pin } : {}),
    wire: { ...((near?.wire ?? {}) as Draft), metres, ...(colour === undefined ? {} : { colour }) },
  };
}

function ConductorCard({ conductor, path: at }: { conductor: Json; path: Path }) {
  const title = useId();
  const near = textAt(conductor, ["near"]);
  const far = textAt(conductor, ["far"]);
  const name = near === "" ? "conductor without a pin" : `conductor of ${near}`;
  const options = (end: "near" | "far") => pinsAt(end).map(({ pin, use }) => ({ value: pin, text: `${pin}, ${use}` }));
  return (
    <li class="draft-card">
      <fieldset aria-labelledby={title}>
        <div class="draft-card-head">
          <h3 id={title}>
            {near || "?"} <span>to</span> {far || "?"}
          </h3>
          <button type="button" class="button" onClick={() => removeAt(at, "conductors-title")}>
            Remove <span class="said-only">{name}</span>
          </button>
        </div>
        <div class="draft-grid">
          <SelectField path={[...at, "near"]} label="Near pin" options={options("near")} />
          <SelectField path={[...at, "far"]} label="Far pin" options={options("far")} />
        </div>
        <WireFields path={[...at, "wire"]} what="Wire" />
        <More of={name}>
          <NumberField
            path={[...at, "contactOhms"]}
            label="Contact"
            unit="Ω"
            note={`${choices.value?.usual.contactOhms} Ω where left empty.`}
          />
        </More>
      </fieldset>
    </li>
  );
}
