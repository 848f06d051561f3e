import type { CableCell, CableResult } from "@pinwalk/host/server/cable-batch/cable-contract.js";
import { CellMark } from "../../drawing/cell-mark.js";
import { ohmsText } from "../../words/ohms-text.js";

const cellWords: Readonly<Record<CableCell["kind"], string>> = {
  through: "through",
  missing: "open",
  stray: "astray",
  apart: "apart",
  unknown: "not measured",
};

/** Each near pin against each far pin: where its current really comes out. */
export function CableMatrix({ result }: { result: CableResult }) {
  return (
    <section class="sheet" aria-labelledby="matrix-title">
      <div class="sheet-head">
        <h2 id="matrix-title">Where each conductor goes</h2>
        <p class="sheet-note">Near end down the side, far end along the top</p>
      </div>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls has to be reached by key. */}
      <section class="matrix-scroll" aria-label="Matrix of near and far pins" tabIndex={0}>
        <table class="matrix">
          <thead>
            <tr>
              <th scope="col">
                <span class="said-only">Near pin</span>
              </th>
              {result.farPins.map((far) => (
                <th key={far} scope="col">
                  {far}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {result.conductors.map((row) => (
              <tr key={row.near}>
                <th scope="row">{row.near}</th>
                {row.cells.map((cell) => (
                  <td key={cell.far} class={`cell cell-${cell.kind}`}>
                    <CellMark kind={cell.kind} />
                    <span class={cell.kind === "apart" ? "said-only" : "cell-word"}>{cellWords[cell.kind]}</span>
                    {cell.ohms !== null && <span class="cell-ohms">{ohmsText(cell.ohms)}</span>}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <p class="sheet-note set-off">
        The ground, {result.ground.near} to {result.ground.far}, is what everything here is measured against; its
        resistance stands below.
      </p>
    </section>
  );
}
