import { useId } from "preact/hooks";
import { choices, draft, edit, take } from "./draft-desk.js";
import { More, NumberField, Problems, SelectField, TextField } from "./draft-fields.js";
import { focusSoon, removeAt } from "./draft-focus.js";
import { bulbs, filamentsOf, socketName } from "./draft-lookup.js";
import { type Draft, isObject, type Json, listAt, type Path, textAt, valueAt, withValue } from "./draft-paths.js";
import { FactoryLoads } from "./factory-loads.js";
import { BulbField, LampFields, ledStart } from "./lamp-fields.js";

const socketsPath = ["sockets"] as const;

/** All lamps of the vehicle that the plan is about. */
export function SocketsEditor() {
  const sockets = listAt(draft.value, socketsPath);
  return (
    <section class="sheet" aria-labelledby="sockets-title">
      <div class="sheet-head">
        <h2 id="sockets-title" tabIndex={-1}>
          Lamps
        </h2>
        <p class="sheet-note">Each lamp housing, what is in it, and what else hangs on the vehicle's own feed of it.</p>
      </div>
      <Problems at={[socketsPath]} />
      <ul class="draft-cards">
        {sockets.map((socket, at) => (
          // Lamps have no name that stays while it is being typed.
          <SocketCard key={at} socket={socket} path={[...socketsPath, at]} />
        ))}
      </ul>
      <button
        type="button"
        class="button"
        disabled={sockets.length >= 64}
        onClick={() => {
          edit([...socketsPath, sockets.length], startSocket(sockets));
          focusSoon([...socketsPath, sockets.length, "place"]);
        }}
      >
        Add a lamp housing
      </button>
    </section>
  );
}

function startSocket(sockets: readonly Json[]): Draft {
  const taken = new Set(sockets.map((socket) => textAt(socket, ["id"])));
  let number = sockets.length + 1;
  while (taken.has(`lamp-${number}`)) number += 1;
  const last = textAt(sockets.at(-1), ["bulb"]);
  const bulb = last === "" ? bulbs.value[0]?.id : last;
  return { id: `lamp-${number}`, ...(bulb === undefined ? {} : { bulb }) };
}

function SocketCard({ socket, path }: { socket: Json; path: Path }) {
  const title = useId();
  const name = socketName(socket);
  const figures = isObject(valueAt(socket, ["lamps"]));
  return (
    <li class="draft-card">
      <fieldset aria-labelledby={title}>
        <div class="draft-card-head">
          <h3 id={title}>{name}</h3>
          <button type="button" class="button" onClick={() => removeAt(path, "sockets-title")}>
            Remove <span class="said-only">lamp housing {name}</span>
          </button>
        </div>
        <div class="draft-grid">
          <TextField
            path={[...path, "place"]}
            label="Where it is"
            most={80}
            optional
            note="Left or right in these words puts it on its side in the drawings."
          />
          <SelectField
            path={[...path, "lamps"]}
            also={[path]}
            label="What is in it"
            value={figures ? "figures" : "bulb"}
            options={[
              { value: "bulb", text: "a bulb of the list" },
              { value: "figures", text: "LED or another lamp, by its figures" },
            ]}
            onChoose={(next) => edit(path, refilled(socket, next === "figures"))}
          />
          {!figures && <BulbField path={[...path, "bulb"]} label="Bulb" />}
        </div>
        {figures && <OwnLamps path={[...path, "lamps"]} />}
        <FactoryLoads path={[...path, "factory"]} filaments={filamentsOf(socket)} />
        <More of={name}>
          <ShortName socket={socket} path={path} />
          <NumberField path={[...path, "count"]} label="How many alike, side by side" note="1 where left empty." />
          <NumberField
            path={[...path, "groundOhms"]}
            label="Ground of the housing"
            unit="Ω"
            note={`${choices.value?.usual.socketGroundOhms} Ω where left empty.`}
          />
        </More>
      </fieldset>
    </li>
  );
}

function refilled(socket: Json, figures: boolean): Json {
  const { bulb: _bulb, lamps: _lamps, ...rest } = socket as Draft;
  if (!figures) return { ...rest, ...(bulbs.value[0] ? { bulb: bulbs.value[0].id } : {}) };
  return { ...rest, lamps: Object.fromEntries(filamentsOf(socket).map((filament) => [filament, ledStart()])) };
}

const filamentTitles = { bright: "Bright", dim: "Dim" } as const;

function OwnLamps({ path }: { path: Path }) {
  return (
    <div class="draft-filaments">
      {(["bright", "dim"] as const).map((filament) => {
        const at = [...path, filament];
        const present = valueAt(draft.value, at) !== undefined;
        return (
          <div key={filament}>
            <label class="draft-tick">
              <input
                type="checkbox"
                checked={present}
                onChange={({ currentTarget: { checked } }) => edit(at, checked ? ledStart() : undefined)}
              />
              <span>
                {filament === "bright" ? "Has a bright lamp (stop, turn, or the only one)" : "Has a dim lamp (tail)"}
              </span>
            </label>
            {present && <LampFields path={at} what={filamentTitles[filament]} />}
          </div>
        );
      })}
    </div>
  );
}

/** Feeds name a lamp by this; another name is put into them as well. */
function ShortName({ socket, path }: { socket: Json; path: Path }) {
  const before = textAt(socket, ["id"]);
  return (
    <TextField
      path={[...path, "id"]}
      label="Short name"
      most={40}
      note="Letters, digits and hyphens: how findings and files name this lamp."
      onEdit={(id) => {
        const renamed = withValue(draft.value, [...path, "id"], id);
        if (isObject(renamed)) take(before === "" ? renamed : followed(renamed, before, id), `${path.join(".")}.id`);
      }}
    />
  );
}

function followed(whole: Draft, before: string, id: string): Draft {
  const circuits = listAt(whole, ["circuits"]).map((circuit) => ({
    ...(circuit as Draft),
    feeds: listAt(circuit, ["feeds"]).map((feed) => {
      const [socketId, filament] = textAt(feed, ["to"]).split(".");
      return socketId === before ? { ...(feed as Draft), to: `${id}.${filament}` } : feed;
    }),
  }));
  return { ...whole, circuits };
}
