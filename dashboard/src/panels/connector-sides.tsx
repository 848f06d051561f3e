import type { FacePin, FaceView } from "@pinwalk/host/server/contract.js";
import { useId, useState } from "preact/hooks";
import { ConnectorFace, type Side } from "../drawing/connector-face.js";
import { SideIcon } from "../drawing/side-icon.js";
import { WireSwatch } from "../drawing/wire-swatch.js";
import "./connector-sides.css";

const sideWords = {
  mating: { title: "Mating side", look: "as its partner sees it" },
  wiring: { title: "Wiring side", look: "the back, where the wires go in: mirror image" },
} as const;

/** Each connector from both sides; a phone shows one at a time, with its side in big words. */
export function ConnectorSides({ faces }: { faces: readonly FaceView[] }) {
  const [side, setSide] = useState<Side>("mating");
  const group = useId();
  return (
    <div class={`sides sides-${side}`}>
      <fieldset class="side-choice sides-choice">
        <legend class="said-only">Side of the connector</legend>
        {(["mating", "wiring"] as const).map((row) => (
          <label key={row}>
            <input type="radio" name={group} checked={side === row} onChange={() => setSide(row)} />
            <span>{sideWords[row].title}</span>
          </label>
        ))}
      </fieldset>
      {faces.map((face) => (
        <section key={face.title} class="sides-face">
          <h3>{face.title}</h3>
          <div class="sides-pair">
            <SideFigure face={face} side="mating" />
            <SideFigure face={face} side="wiring" />
          </div>
          {face.note && <p class="sheet-note">{face.note}</p>}
          <PinTable face={face} />
        </section>
      ))}
    </div>
  );
}

/** One face from one side, the side told by drawing, icon and words. */
export function SideFigure({ face, side }: { face: FaceView; side: Side }) {
  return (
    <figure class={`side-figure side-figure-${side}`}>
      <figcaption>
        <SideIcon side={side} />
        <strong>{sideWords[side].title}</strong>
        <span>{sideWords[side].look}</span>
      </figcaption>
      <ConnectorFace face={face} side={side} lit={null} tones={{}} />
    </figure>
  );
}

const roleWords = {
  driven: null,
  ground: "return",
  "never-driven": "never driven",
  unused: "not in the plan",
} as const;

/** Pin, use, wire; and what every convention in use gives the pin, as the two of the seven-way connector are mixed up easily. */
function PinTable({ face }: { face: FaceView }) {
  const named = face.pins[0]?.byConvention.find((one) => one.named);
  return (
    <table class="pin-table">
      <caption class="said-only">Pins of the {face.title}</caption>
      <thead>
        <tr>
          <th scope="col">Pin</th>
          <th scope="col">For</th>
          <th scope="col">Wire{named && `, by ${named.name}`}</th>
        </tr>
      </thead>
      <tbody>
        {face.pins.map((pin) => (
          <tr key={pin.pin} class={`role-${pin.role}`}>
            <th scope="row">{pin.pin}</th>
            <td>
              {pin.functionText}
              {roleWords[pin.role] && <em>{roleWords[pin.role]}</em>}
            </td>
            <td>
              {pin.role === "unused" ? null : <WireSwatch colour={pin.colour} />}
              <OtherConventions pin={pin} />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function OtherConventions({ pin }: { pin: FacePin }) {
  return pin.byConvention
    .filter(({ named }) => !named)
    .map(({ name, colour }) => (
      <span key={name} class="pin-convention">
        {colour} by {name}
      </span>
    ));
}
