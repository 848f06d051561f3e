/** A perforated board seen from the component side: every part where it goes, every leg in its hole. */
import { placements } from "./placement.mjs";

const pitch = 18;
const margin = 34;
const style = `
  svg { font-family: "DejaVu Sans", Arial, sans-serif; } .board { fill: #f3ead2; stroke: #777; } .hole { fill: #c9bb94; }
  .part { fill: #fff; fill-opacity: .75; stroke: #333; stroke-width: 1.2; } .leg { fill: #14507a; } .first { fill: #b3261e; }
  text { font-size: 9px; fill: #111; text-anchor: middle; } .scale { font-size: 9px; fill: #666; } .title { font-size: 15px; font-weight: bold; text-anchor: start; }`;

const x = (column) => margin + column * pitch;
const y = (row) => margin + row * pitch;

/** SVG of one board; the first leg (1, A, G, S or E) is red. */
export function layoutSvg(board) {
  const width = x(board.columns + 1) + margin;
  const height = y(board.rows + 1) + margin + 24;
  const out = [
    `<rect class="board" x="${x(0)}" y="${y(0)}" width="${(board.columns + 1) * pitch}" height="${(board.rows + 1) * pitch}"/>`,
  ];
  for (let row = 1; row <= board.rows; row += 1) {
    const dots = Array.from({ length: board.columns }, (_, at) => `M${x(at + 1) - 1} ${y(row)}h2`).join("");
    out.push(`<path d="${dots}" stroke="#c9bb94" stroke-width="2"/>`);
  }
  for (let column = 5; column <= board.columns; column += 5)
    out.push(`<text class="scale" x="${x(column)}" y="${y(0) - 6}">${column}</text>`);
  for (let row = 5; row <= board.rows; row += 5)
    out.push(`<text class="scale" x="${x(0) - 12}" y="${y(row) + 3}">${row}</text>`);
  for (const { reference, holes, body } of placements().get(board.name)) {
    const [x1, y1, x2, y2] = body;
    const left = Math.min(x(x1), x(x2));
    const top = Math.min(y(y1), y(y2));
    const wide = Math.abs(x(x2) - x(x1));
    const high = Math.abs(y(y2) - y(y1));
    out.push(`<rect class="part" x="${left}" y="${top}" width="${wide}" height="${high}" rx="3"/>`);
    for (const [at, { column, row }] of holes.entries()) {
      out.push(`<circle class="${at === 0 ? "first" : "leg"}" cx="${x(column)}" cy="${y(row)}" r="3"/>`);
    }
    const middle = { x: left + wide / 2, y: top + high / 2 };
    const turn = high > wide * 1.5 ? ` transform="rotate(-90 ${middle.x} ${middle.y})"` : "";
    const below =
      turn === "" &&
      holes.some(({ column, row }) => Math.abs(y(row) - middle.y) < 8 && Math.abs(x(column) - middle.x) < 22);
    out.push(`<text x="${middle.x}" y="${below ? top + high + 9 : middle.y + 3}"${turn}>${reference}</text>`);
  }
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" role="img">`,
    `<title>${board.title}</title><style>${style}\n</style><rect width="${width}" height="${height}" fill="#fff"/>`,
    ...out,
    `<text class="title" x="${margin}" y="${height - 16}">${board.title}: ${board.columns} × ${board.rows} holes of 2.54 mm, component side; red: first leg (1, A, G, S, E)</text>`,
    "</svg>",
    "",
  ].join("\n");
}
