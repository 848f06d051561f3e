import type { CutListView } from "@pinwalk/host/server/contract.js";
import { WireSwatch } from "../drawing/wire-swatch.js";
import "./cut-list.css";

const metresText = (metres: number) => `${metres.toFixed(2)}\u00a0m`;

/** Wire by gauge and colour with every piece, then terminals and diodes by number. */
export function CutList({ list }: { list: CutListView }) {
  return (
    <div class="cut-list">
      <table class="cuts">
        <caption>Wire, with {list.allowanceText}</caption>
        <thead>
          <tr>
            <th scope="col">Wire</th>
            <th scope="col" class="number">
              Together
            </th>
            <th scope="col">Pieces</th>
          </tr>
        </thead>
        <tbody>
          {list.wires.map((row) => (
            <tr key={`${row.wire} ${row.colour}`}>
              <th scope="row">
                {row.wire}
                <WireSwatch colour={row.colour} />
              </th>
              <td class="number">
                <strong>{metresText(row.metres)}</strong>
              </td>
              <td>
                <ul>
                  {row.pieces.map((piece) => (
                    <li key={piece.where}>
                      {metresText(piece.metres)}: {piece.where}
                    </li>
                  ))}
                </ul>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <table class="cuts">
        <caption>Terminals, splices and diodes</caption>
        <thead>
          <tr>
            <th scope="col" class="number">
              Count
            </th>
            <th scope="col">Part</th>
          </tr>
        </thead>
        <tbody>
          {list.parts.map((row) => (
            <tr key={row.part}>
              <td class="number">
                <strong>{row.count}</strong>
              </td>
              <td>{row.part}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
