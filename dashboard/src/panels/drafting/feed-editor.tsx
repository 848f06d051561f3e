import { choices, draft, edit } from "./draft-desk.js";
import { NumberField, SelectField } from "./draft-fields.js";
import { removeAt } from "./draft-focus.js";
import { lamps } from "./draft-lookup.js";
import { type Draft, isObject, type Json, type Path, textAt, valueAt } from "./draft-paths.js";
import { WireFields } from "./wire-fields.js";

interface FeedProps {
  readonly feed: Json;
  readonly path: Path;
  readonly number: number;
  readonly circuit: string;
}

const ownDiode = "own";

/** One way from the splice to a lamp: through which diode, over which jumper. */
export function FeedEditor({ feed, path, number, circuit }: FeedProps) {
  const isolation = valueAt(feed, ["isolation"]);
  const diode = isObject(isolation) ? ownDiode : textAt(feed, ["isolation"]);
  const rows = choices.value?.diodes ?? [];
  const jumper = valueAt(feed, ["wire"]) !== undefined;
  return (
    <li class="draft-feed">
      <div class="draft-grid">
        <SelectField
          path={[...path, "to"]}
          also={[path]}
          label={`Lamp ${number}`}
          options={lamps.value.map(({ to, text }) => ({ value: to, text }))}
        />
        <SelectField
          path={[...path, "isolation"]}
          label={`Lamp ${number}: joined`}
          value={diode}
          options={[
            { value: "none", text: "straight through, no diode" },
            ...rows.map(({ id, name }) => ({ value: id, text: `through a ${name}` })),
            { value: ownDiode, text: "through a diode by its figures" },
          ]}
          note={rows.find(({ id }) => id === diode)?.figures}
          onChoose={(next) => edit([...path, "isolation"], next === ownDiode ? { diode: {} } : next)}
        />
      </div>
      {diode === ownDiode && (
        <div class="draft-grid">
          <NumberField path={[...path, "isolation", "diode", "saturationAmps"]} label="Saturation current" unit="A" />
          <NumberField path={[...path, "isolation", "diode", "ideality"]} label="Ideality" />
          <NumberField path={[...path, "isolation", "diode", "seriesOhms"]} label="Series resistance" unit="Ω" />
        </div>
      )}
      <div class="draft-feed-foot">
        <label class="draft-tick">
          <input
            type="checkbox"
            checked={jumper}
            onChange={({ currentTarget: { checked } }) =>
              edit([...path, "wire"], checked ? startJumper(path) : undefined)
            }
          />
          <span>Lamp {number} hangs on a jumper from the splice</span>
        </label>
        <button type="button" class="button" onClick={() => removeAt(path, "circuits-title")}>
          Remove{" "}
          <span class="said-only">
            lamp {number} from {circuit}
          </span>
        </button>
      </div>
      {jumper && <WireFields path={[...path, "wire"]} what={`Jumper ${number}`} />}
    </li>
  );
}

/** A jumper of the trunk's wire. */
function startJumper(feed: Path): Draft {
  const { metres: _metres, ...wire } = (valueAt(draft.value, [...feed.slice(0, -2), "wire"]) ?? {}) as Draft;
  return { ...wire, metres: choices.value?.usual.branchMetres ?? 0 };
}
