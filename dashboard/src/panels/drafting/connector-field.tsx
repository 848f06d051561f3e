import { signal } from "@preact/signals";
import { refit } from "../../live/drafting-requests.js";
import { choices, draft, edit, take } from "./draft-desk.js";
import { Problems, SelectField, TextField } from "./draft-fields.js";
import type { End } from "./draft-lookup.js";
import { type Draft, isObject, listAt, textAt, valueAt } from "./draft-paths.js";

/** Why the draft could not be fitted to another connector or convention, if so. */
export const refitFailure = signal<string | null>(null);

const own = "own";
const labels = { connector: "Connector", near: "Near connector", far: "Far connector" } as const;

/** Which connector an end has. Another one takes the circuits along to the pins of their functions; the host does that. */
export function ConnectorField({ end }: { end: End }) {
  const custom = isObject(valueAt(draft.value, [end]));
  return (
    <>
      <SelectField
        path={[end]}
        label={labels[end]}
        value={custom ? own : textAt(draft.value, [end])}
        options={[
          ...(choices.value?.connectors ?? []).map(({ id, name }) => ({ value: id, text: name })),
          { value: own, text: "another connector, pins by hand" },
        ]}
        onChoose={(to) => (to === own ? edit([end], startOwn()) : void refitTo({ end, to }))}
      />
      {custom && <OwnPins end={end} />}
    </>
  );
}

/** The colours in use; only where the connector has more than one convention, or the draft names one. */
export function ConventionField({ end }: { end: End }) {
  const connector = choices.value?.connectors.find(({ id }) => id === textAt(draft.value, [end]));
  const conventions = connector?.conventions ?? [];
  if (conventions.length < 2 && valueAt(draft.value, ["colourConvention"]) === undefined) return null;
  return (
    <SelectField
      path={["colourConvention"]}
      label="Wire colours by"
      none="not named"
      options={conventions.map(({ id, name }) => ({ value: id, text: name }))}
      note="Two conventions are in use on this connector; wires that follow the one are changed to the other."
      onChoose={(next) => {
        const known = conventions.find(({ id }) => id === next);
        if (known) void refitTo({ colourConvention: known.id });
        else edit(["colourConvention"], undefined);
      }}
    />
  );
}

async function refitTo(change: Omit<Parameters<typeof refit>[0], "draft">): Promise<void> {
  const before = draft.value;
  const answer = await refit({ draft: before, ...change });
  refitFailure.value = answer.ok ? null : answer.message;
  // Whoever has typed on meanwhile keeps what they typed.
  if (answer.ok && draft.value === before) take(answer.value as Draft);
}

function startOwn(): Draft {
  return { id: "custom", pins: ["1", "2"].map((pin, at) => ({ pin, function: at === 0 ? "ground" : "tail" })) };
}

function OwnPins({ end }: { end: End }) {
  const path = [end, "pins"] as const;
  const pins = listAt(draft.value, path);
  return (
    <div class="draft-wide">
      <Problems at={[path]} />
      {pins.map((_, at) => (
        // A pin has no name that stays while it is being typed.
        <div key={at} class="draft-grid draft-pin">
          <TextField path={[...path, at, "pin"]} label={`Contact ${at + 1}`} most={8} />
          <SelectField
            path={[...path, at, "function"]}
            label={`Contact ${at + 1}: function`}
            options={(choices.value?.functions ?? []).map(({ id, words }) => ({ value: id, text: words }))}
          />
          <button type="button" class="button" onClick={() => edit([...path, at], undefined)}>
            Remove <span class="said-only">contact {at + 1}</span>
          </button>
        </div>
      ))}
      <button
        type="button"
        class="button"
        disabled={pins.length >= 13}
        onClick={() => edit([...path, pins.length], { pin: String(pins.length + 1), function: "auxiliary" })}
      >
        Add a contact
      </button>
    </div>
  );
}
