import type { FacePin, PlanView } from "@pinwalk/host/server/contract.js";
import { signal } from "@preact/signals";
import { ConnectorFace, type Side } from "../drawing/connector-face.js";
import { ToneIcon } from "../drawing/icons.js";
import { WireSwatch } from "../drawing/wire-swatch.js";
import type { Tone } from "../words/verdict-words.js";
import "./connector-panel.css";

/** The side a person last asked for; the same on every page. */
const side = signal<Side>("mating");

const sideWords = {
  mating: { title: "Mating side", look: "You look into the connector, as its partner sees it." },
  wiring: { title: "Wiring side", look: "Mirror image: you look at the back, where the wires go in." },
} as const;

interface ConnectorPanelProps {
  readonly plan: PlanView;
  readonly lit?: string | null;
  readonly tones?: Readonly<Record<string, Tone>>;
  /** Makes the pins of the key choosable. */
  readonly chosenPin?: string | null;
  readonly onChoose?: (pin: string) => void;
}

/** The face, which side of it is drawn, and the key: letter, function, wire colour, and what is known of the pin. */
export function ConnectorPanel({ plan, lit = null, tones = {}, chosenPin = null, onChoose }: ConnectorPanelProps) {
  const words = sideWords[side.value];
  const near = plan.faces[0];
  if (!near) return null;
  return (
    <div class="connector-box">
      <SideChoice />
      <p class="connector-side">
        <strong>{words.title}.</strong> {words.look}
      </p>
      <div class={`connector${plan.faces.length > 1 ? " connector-two" : ""}`}>
        <div class="connector-draw">
          <div class="connector-faces">
            {plan.faces.map((face) => (
              <figure key={face.title}>
                <ConnectorFace face={face} side={side.value} lit={lit} tones={face === near ? tones : {}} />
                <figcaption>{face.title}</figcaption>
              </figure>
            ))}
          </div>
          {near.note && <p class="sheet-note">{near.note}</p>}
        </div>
        <ul class="pin-key" aria-label={`Pins of the ${near.title}`}>
          {near.pins.map((pin) => (
            <li key={pin.pin} class={`pin-row role-${pin.role}${pin.pin === lit ? " pin-row-lit" : ""}`}>
              <PinRow
                pin={pin}
                lit={pin.pin === lit}
                tone={tones[pin.pin]}
                chosen={pin.pin === chosenPin}
                onChoose={onChoose}
              />
            </li>
          ))}
        </ul>
      </div>
    </div>
  );
}

function SideChoice() {
  return (
    <fieldset class="side-choice">
      <legend class="said-only">Side of the connector</legend>
      {(["mating", "wiring"] as const).map((row) => (
        <label key={row}>
          <input type="radio" name="side" checked={side.value === row} onChange={() => (side.value = row)} />
          <span>{sideWords[row].title}</span>
        </label>
      ))}
    </fieldset>
  );
}

const roleWords = {
  driven: null,
  ground: "return",
  "never-driven": "never driven",
  unused: "not in the plan",
} as const;

interface PinRowProps {
  readonly pin: FacePin;
  readonly lit: boolean;
  readonly tone: Tone | undefined;
  readonly chosen: boolean;
  readonly onChoose: ((pin: string) => void) | undefined;
}

function PinRow({ pin, lit, tone, chosen, onChoose }: PinRowProps) {
  const state = lit ? "under test" : roleWords[pin.role];
  const inside = (
    <>
      <b class="pin-row-letter">{pin.pin}</b>
      <span class="pin-row-text">
        <span>{pin.functionText}</span>
        <small>
          {pin.role !== "unused" && <WireSwatch colour={pin.colour} />}
          {state && <em>{state}</em>}
        </small>
      </span>
      {tone && tone !== "none" ? <ToneIcon tone={tone} size={22} /> : <span />}
    </>
  );
  if (!onChoose || pin.role !== "driven") return <div class="pin-row-box">{inside}</div>;
  return (
    <button type="button" class="pin-row-box" aria-pressed={chosen} onClick={() => onChoose(pin.pin)}>
      {inside}
    </button>
  );
}
