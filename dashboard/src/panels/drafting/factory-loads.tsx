import { draft, edit } from "./draft-desk.js";
import { NumberField, Problems, SelectField } from "./draft-fields.js";
import { removeAt } from "./draft-focus.js";
import { bulbNamed, bulbs } from "./draft-lookup.js";
import { type Draft, type Json, listAt, type Path, textAt, valueAt } from "./draft-paths.js";
import { BulbField, LampFields, ledStart } from "./lamp-fields.js";

type Filament = "bright" | "dim";

/** What else hangs on the vehicle's own feed of a lamp: with a diode it draws nothing from the connector, without one it does. */
export function FactoryLoads({ path, filaments }: { path: Path; filaments: readonly Filament[] }) {
  const all = listAt(draft.value, [...path, "bright"]).length + listAt(draft.value, [...path, "dim"]).length;
  return (
    <details class="draft-more" open={all > 0}>
      <summary>Also on the vehicle's own feed{all > 0 ? `: ${all}` : ""}</summary>
      {filaments.map((filament) => (
        <FilamentLoads key={filament} path={path} filament={filament} alone={filaments.length === 1} />
      ))}
    </details>
  );
}

function FilamentLoads({ path, filament, alone }: { path: Path; filament: Filament; alone: boolean }) {
  const at = [...path, filament];
  const loads = listAt(draft.value, at);
  const which = alone ? "" : `, ${filament}`;
  return (
    <div class="draft-loads">
      <Problems at={[at]} />
      {loads.map((load, index) => (
        <Load
          key={index}
          load={load}
          path={[...at, index]}
          what={`Load ${index + 1}${which}`}
          last={loads.length === 1}
        />
      ))}
      <button
        type="button"
        class="button"
        onClick={() => edit([...at, loads.length], { bulb: bulbs.value[0]?.id ?? "" })}
      >
        Add a load{which}
      </button>
    </div>
  );
}

function Load({ load, path, what, last }: { load: Json; path: Path; what: string; last: boolean }) {
  const byFigures = valueAt(load, ["kind"]) !== undefined;
  const bulb = bulbNamed(textAt(load, ["bulb"]));
  return (
    <div class="draft-feed">
      <div class="draft-grid">
        <SelectField
          path={path}
          label={`${what}: what`}
          value={byFigures ? "figures" : "bulb"}
          options={[
            { value: "bulb", text: "a bulb of the list" },
            { value: "figures", text: "by its figures" },
          ]}
          onChoose={(next) => edit(path, next === "figures" ? ledStart() : { bulb: bulbs.value[0]?.id ?? "" })}
        />
        {!byFigures && <BulbField path={[...path, "bulb"]} label={`${what}: bulb`} />}
        {!byFigures && bulb?.hasDim && (
          <SelectField
            path={[...path, "filament"]}
            label={`${what}: filament`}
            none="bright"
            options={[{ value: "dim", text: "dim" }]}
          />
        )}
        {!byFigures && (
          <NumberField path={[...path, "count"]} label={`${what}: how many alike`} note="1 where left empty." />
        )}
      </div>
      {byFigures && <LampFields path={path} what={what} />}
      <button type="button" class="button" onClick={() => removeLoad(path, last)}>
        Remove <span class="said-only">{what}</span>
      </button>
    </div>
  );
}

/** The last load takes its empty list along, and the list of lists when that is empty too. */
function removeLoad(path: Path, last: boolean): void {
  if (!last) {
    removeAt(path, "sockets-title");
    return;
  }
  const factory = path.slice(0, -2);
  const filament = path.at(-2);
  const { [String(filament)]: _out, ...rest } = (valueAt(draft.value, factory) ?? {}) as Draft;
  edit(factory, Object.keys(rest).length > 0 ? rest : undefined);
}
