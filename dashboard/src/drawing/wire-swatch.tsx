import { wireShades } from "../words/wire-colours.js";
import "./wire-swatch.css";

/** A short piece of wire in its colour with the colour's name beside it: never the one without the other. */
export function WireSwatch({ colour }: { colour: string | null }) {
  if (!colour) return <span class="wire-swatch wire-unnamed">colour not named</span>;
  const [base, stripe] = wireShades(colour);
  return (
    <span class="wire-swatch">
      <svg width="26" height="12" viewBox="0 0 26 12" aria-hidden="true">
        <rect class="wire-jacket" x="0.75" y="1.75" width="24.5" height="8.5" rx="2" fill={base ?? "transparent"} />
        {stripe && <rect x="1.5" y="4.6" width="23" height="2.8" fill={stripe} />}
      </svg>
      {colour}
    </span>
  );
}
