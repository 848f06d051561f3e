import { useId } from "preact/hooks";
import { choices, draft, edit } from "./draft-desk.js";
import { More, NumberField, Problems, SelectField } from "./draft-fields.js";
import { focusSoon, removeAt } from "./draft-focus.js";
import { functionText, lamps, pinsAt, unfedLamps, usualColour } from "./draft-lookup.js";
import { type Draft, type Json, listAt, type Path, textAt, valueAt } from "./draft-paths.js";
import { FeedEditor } from "./feed-editor.js";
import { WireFields } from "./wire-fields.js";

const circuitsPath = ["circuits"] as const;

/** All circuits of an install plan: which pin, for what, over which wire, to which lamps. */
export function CircuitsEditor() {
  const circuits = listAt(draft.value, circuitsPath);
  const free = freePins();
  return (
    <section class="sheet" aria-labelledby="circuits-title">
      <div class="sheet-head">
        <h2 id="circuits-title" tabIndex={-1}>
          Circuits
        </h2>
        <p class="sheet-note">A pin, its wire, and the lamps that it feeds.</p>
      </div>
      <Problems at={[circuitsPath]} />
      <ul class="draft-cards">
        {circuits.map((circuit, at) => (
          // Circuits have no name that stays while their pin is being chosen.
          <CircuitCard key={at} circuit={circuit} path={[...circuitsPath, at]} />
        ))}
      </ul>
      <button
        type="button"
        class="button"
        disabled={circuits.length >= 13}
        onClick={() => {
          edit([...circuitsPath, circuits.length], startCircuit(free[0]?.pin));
          focusSoon([...circuitsPath, circuits.length, "pin"]);
        }}
      >
        Add a circuit
      </button>
    </section>
  );
}

const feeding = ["charge", "brake", "auxiliary", "ground"];

/** Pins that no circuit has yet, those for lamps first. */
function freePins() {
  const taken = new Set(listAt(draft.value, circuitsPath).map((circuit) => textAt(circuit, ["pin"])));
  const ground = textAt(draft.value, ["ground", "pin"]);
  const free = pinsAt("connector").filter(({ pin }) => pin !== ground && !taken.has(pin));
  return [...free].sort((a, b) => Number(feeding.includes(a.function)) - Number(feeding.includes(b.function)));
}

/** A circuit of a pin as the connector has it, with its lamps yet to be chosen. */
function startCircuit(name: string | undefined): Draft {
  const pin = pinsAt("connector").find((one) => one.pin === name);
  const colour = pin && usualColour(pin, "connector");
  return {
    ...(pin ? { pin: pin.pin, function: pin.function } : {}),
    wire: { ...((pin?.wire ?? {}) as Draft), ...(colour === undefined ? {} : { colour }) },
    feeds: [],
  };
}

function CircuitCard({ circuit, path }: { circuit: Json; path: Path }) {
  const title = useId();
  const pin = textAt(circuit, ["pin"]);
  const feeds = listAt(circuit, ["feeds"]);
  const name = pin === "" ? "circuit without a pin" : `circuit ${pin}`;
  return (
    <li class="draft-card">
      <fieldset aria-labelledby={title}>
        <div class="draft-card-head">
          <h3 id={title}>
            {pin === "" ? "New circuit" : pin} <span>{functionText(textAt(circuit, ["function"]))}</span>
          </h3>
          <button type="button" class="button" onClick={() => removeAt(path, "circuits-title")}>
            Remove <span class="said-only">{name}</span>
          </button>
        </div>
        <div class="draft-grid">
          <SelectField
            path={[...path, "pin"]}
            label="Pin"
            options={pinsAt("connector").map((one) => ({ value: one.pin, text: `${one.pin}, ${one.use}` }))}
            onChoose={(next) => edit(path, repinned(circuit, next))}
          />
          <SelectField
            path={[...path, "function"]}
            label="What it is for"
            options={(choices.value?.functions ?? [])
              .filter(({ id }) => id !== "ground")
              .map(({ id, words }) => ({ value: id, text: words }))}
          />
        </div>
        <WireFields path={[...path, "wire"]} what="Trunk wire" />
        <h4>Lamps that it feeds</h4>
        <Problems at={[[...path, "feeds"]]} />
        <ul class="draft-feeds">
          {feeds.map((feed, at) => (
            <FeedEditor key={at} feed={feed} path={[...path, "feeds", at]} number={at + 1} circuit={name} />
          ))}
        </ul>
        <button
          type="button"
          class="button"
          onClick={() => {
            edit([...path, "feeds", feeds.length], startFeed(circuit));
            focusSoon([...path, "feeds", feeds.length, "to"]);
          }}
        >
          Add a lamp <span class="said-only">to {name}</span>
        </button>
        <More of={name}>
          <FuseField path={[...path, "fuseAmps"]} />
          <NumberField path={[...path, "tolerance"]} label="Share by which the current may differ (0.15 is 15 %)" />
          <NumberField
            path={[...path, "contactOhms"]}
            label="Contact"
            unit="Ω"
            note={`${choices.value?.usual.contactOhms} Ω where left empty.`}
          />
        </More>
      </fieldset>
    </li>
  );
}

function FuseField({ path }: { path: Path }) {
  const fuses = choices.value?.fuses ?? [];
  const fuse = fuses.find(({ amps }) => amps === valueAt(draft.value, path));
  return (
    <SelectField
      path={path}
      label="Fuse of the tow vehicle"
      none="not known"
      options={fuses.map(({ amps, colour }) => ({ value: String(amps), text: `${amps} A, ${colour}` }))}
      note={fuse && `Source of the colour: ${fuse.source}.`}
      onChoose={(amps) => edit(path, amps === "" ? undefined : Number(amps))}
    />
  );
}

/** Another pin brings its own function and colour, where the circuit still has those of the pin before. */
function repinned(circuit: Json, name: string): Json {
  const now = circuit as Draft;
  const before = pinsAt("connector").find(({ pin }) => pin === textAt(circuit, ["pin"]));
  const next = pinsAt("connector").find(({ pin }) => pin === name);
  if (!next) return { ...now, pin: name };
  const own = textAt(circuit, ["function"]);
  const colour = textAt(circuit, ["wire", "colour"]);
  const followed = colour === "" || (before && usualColour(before, "connector") === colour);
  const usual = usualColour(next, "connector");
  const wire = (valueAt(circuit, ["wire"]) ?? next.wire) as Draft;
  return {
    ...now,
    pin: name,
    function: own === "" || own === before?.function ? next.function : own,
    wire: followed && usual !== undefined ? { ...wire, colour: usual } : wire,
  };
}

/** A feed to a lamp that nothing feeds yet: the first from the trunk itself, further ones over a jumper from the splice. */
function startFeed(circuit: Json): Draft {
  const feeds = listAt(circuit, ["feeds"]);
  const others = listAt(draft.value, circuitsPath).flatMap((one) => listAt(one, ["feeds"]));
  const isolation = valueAt(feeds[0] ?? others[0], ["isolation"]) ?? choices.value?.diodes[0]?.id;
  const fed = new Set(feeds.map((feed) => textAt(feed, ["to"])));
  const to = unfedLamps()[0]?.to ?? lamps.value.find((lamp) => !fed.has(lamp.to))?.to;
  const { metres: _metres, ...wire } = (valueAt(circuit, ["wire"]) ?? {}) as Draft;
  return {
    ...(to === undefined ? {} : { to }),
    ...(isolation === undefined ? {} : { isolation }),
    ...(feeds.length === 0 ? {} : { wire: { ...wire, metres: choices.value?.usual.branchMetres ?? 0 } }),
  };
}
