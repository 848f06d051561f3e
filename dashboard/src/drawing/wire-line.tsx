import { wireShades } from "../words/wire-colours.js";

/** A wire in its colour, with an edge that tells it from any ground; a stripe is dashed on. One without a colour is ink. */
export function WireLine({ d, colour }: { d: string; colour: string | null }) {
  const [base, stripe] = colour === null ? [] : wireShades(colour);
  return (
    <g class="wire-line">
      <path class="wire-halo" d={d} />
      <path class={base ? "wire-edge" : "wire-edge wire-plain"} d={d} />
      {base && <path class="wire-core" d={d} style={{ stroke: base }} />}
      {stripe && <path class="wire-core wire-striped" d={d} style={{ stroke: stripe }} />}
    </g>
  );
}
