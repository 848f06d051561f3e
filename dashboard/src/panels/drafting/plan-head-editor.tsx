import { Failure } from "../records/failure.js";
import { ConnectorField, ConventionField, refitFailure } from "./connector-field.js";
import { choices, draft, edit } from "./draft-desk.js";
import { fieldId, More, NumberField, Problems, SelectField, TextField } from "./draft-fields.js";
import { type End, pinsAt } from "./draft-lookup.js";
import { listAt, type Path, textAt } from "./draft-paths.js";
import { WireFields } from "./wire-fields.js";

/** Name, voltage, connectors and colours. */
export function PlanHeadEditor() {
  const cable = textAt(draft.value, ["kind"]) === "cable";
  const end: End = cable ? "near" : "connector";
  return (
    <section class="sheet" aria-labelledby="head-title">
      <div class="sheet-head">
        <h2 id="head-title">{cable ? "Cable" : "Vehicle and connector"}</h2>
      </div>
      <Failure message={refitFailure.value} />
      <Problems at={[[], ["format"], ["kind"]]} />
      <div class="draft-grid">
        <TextField path={["name"]} label="Name of the plan" most={120} />
        <NumberField path={["nominalVolts"]} label="System voltage" unit="V" />
        {cable ? (
          <>
            <ConnectorField end="near" />
            <ConnectorField end="far" />
          </>
        ) : (
          <ConnectorField end="connector" />
        )}
        <ConventionField end={end} />
        {cable && <NumberField path={["farLoadOhms"]} label="Loads in the far socket" unit="Ω" />}
      </div>
      <NeverDriven end={end} />
      <More of="the plan">
        <NumberField
          path={["contactOhms"]}
          label="Each contact"
          unit="Ω"
          note={`${choices.value?.usual.contactOhms} Ω where left empty.`}
        />
      </More>
    </section>
  );
}

/** Pins that the bench listens to and never puts power on. */
function NeverDriven({ end }: { end: End }) {
  const path: Path = ["senseOnly"];
  const held = listAt(draft.value, path);
  const ground = textAt(draft.value, ["ground", "pin"]);
  const pins = pinsAt(end).filter(({ pin, function: of }) => (end === "near" ? of !== "ground" : pin !== ground));
  const strangers = held.filter((one) => typeof one === "string" && !pins.some(({ pin }) => pin === one));
  const tick = (pin: string, on: boolean) => {
    const next = on ? [...held, pin] : held.filter((one) => one !== pin);
    edit(path, next.length > 0 ? next : undefined);
  };
  return (
    <fieldset class="draft-pins">
      <legend>Pins that are never driven</legend>
      <p class="sheet-note">Charge lines, brakes, and whatever must not get power from the bench.</p>
      <ul id={fieldId(path)} tabIndex={-1}>
        {[
          ...pins.map(({ pin, use }) => [pin, use] as const),
          ...strangers.map((one) => [String(one), "not on this connector"] as const),
        ].map(([pin, use]) => (
          <li key={pin}>
            <label class="draft-tick">
              <input
                type="checkbox"
                checked={held.includes(pin)}
                onChange={({ currentTarget: { checked } }) => tick(pin, checked)}
              />
              <span>
                <b>{pin}</b> {use}
              </span>
            </label>
          </li>
        ))}
      </ul>
      <Problems at={[path, ...held.map((_, at) => [...path, at])]} />
    </fieldset>
  );
}

/** The return wire of an install plan. */
export function GroundEditor() {
  return (
    <section class="sheet" aria-labelledby="ground-title">
      <div class="sheet-head">
        <h2 id="ground-title">Ground</h2>
        <p class="sheet-note">From the connector's ground pin to bare metal of the vehicle.</p>
      </div>
      <div class="draft-grid">
        <SelectField
          path={["ground", "pin"]}
          also={[["ground"]]}
          label="Ground pin"
          options={pinsAt("connector").map(({ pin, use }) => ({ value: pin, text: `${pin}, ${use}` }))}
        />
      </div>
      <WireFields path={["ground", "wire"]} what="Ground wire" />
      <More of="the ground">
        <NumberField
          path={["ground", "contactOhms"]}
          label="Contact"
          unit="Ω"
          note={`${choices.value?.usual.contactOhms} Ω where left empty.`}
        />
        <NumberField
          path={["ground", "bondOhms"]}
          label="Bond to the chassis"
          unit="Ω"
          note={`${choices.value?.usual.groundBondOhms} Ω where left empty.`}
        />
      </More>
    </section>
  );
}
