import { WireSwatch } from "../../drawing/wire-swatch.js";
import { choices, draft, edit } from "./draft-desk.js";
import { NumberField, SelectField, TextField } from "./draft-fields.js";
import { type Draft, isObject, type Path, textAt, valueAt } from "./draft-paths.js";

const systems = ["awg", "sae", "mm2"] as const;

/** Size, length and colour of one piece of wire. `what` names it where several stand on a page. */
export function WireFields({ path, what }: { path: Path; what: string }) {
  const wire = valueAt(draft.value, path);
  const system = systems.find((one) => valueAt(wire, [one]) !== undefined);
  const rows = choices.value?.wires ?? [];
  const chosen = rows.find((row) => row.system === system && row.size === valueAt(wire, [system ?? ""]));
  const resize = (value: string) => {
    const row = rows.find((one) => `${one.system} ${one.size}` === value);
    const { awg: _awg, sae: _sae, mm2: _mm2, ...rest } = isObject(wire) ? wire : ({} as Draft);
    edit(path, { ...(row ? { [row.system]: row.size } : {}), ...rest });
  };
  const colour = textAt(wire, ["colour"]);
  return (
    <div class="draft-wire">
      <SelectField
        path={[...path, system ?? "size"]}
        also={[path, ...systems.map((one) => [...path, one])]}
        label={`${what}: size`}
        value={system ? `${system} ${textAt(wire, [system])}` : ""}
        options={rows.map((row) => ({ value: `${row.system} ${row.size}`, text: row.name }))}
        onChoose={resize}
        note={chosen?.figures}
      />
      <NumberField path={[...path, "metres"]} label={`${what}: length`} unit="m" />
      <div class="draft-colour">
        <TextField path={[...path, "colour"]} label={`${what}: colour`} most={40} list="draft-colours" optional />
        {colour !== "" && (
          <span class="draft-swatch">
            <WireSwatch colour={colour} />
          </span>
        )}
      </div>
    </div>
  );
}

/** The colours that the conventions know, for every colour field of the page. */
export function ColourList() {
  const known = new Set(
    (choices.value?.connectors ?? []).flatMap(({ pins }) =>
      pins.flatMap(({ colours }) => Object.values(colours).filter((one) => one !== "none" && !one.includes(" or "))),
    ),
  );
  return (
    <datalist id="draft-colours">
      {[...known].sort().map((colour) => (
        <option key={colour} value={colour} />
      ))}
    </datalist>
  );
}
