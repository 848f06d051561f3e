/** One sheet of the schematic as SVG. Pins that no wire reaches carry the name of their net. */
import { drawingOf, textPlaceOf } from "./symbols.mjs";
import { wiringOf } from "./wiring.mjs";

const style = `
  svg { background: #fff; font-family: "DejaVu Sans", Arial, sans-serif; }
  path, line, rect, circle { fill: none; stroke: #111; stroke-width: 1.6; stroke-linecap: round; stroke-linejoin: round; }
  .solid { fill: #111; } .chip { fill: #f6f4ec; } .wire { stroke: #14507a; } .joint { fill: #14507a; stroke: none; }
  .frame { stroke: #888; } text { font-size: 12px; fill: #111; } .pin-name { font-size: 11px; }
  .pin-number { font-size: 9px; fill: #555; } .net { font-size: 11px; fill: #14507a; } .value { fill: #444; font-size: 11px; }
  .title { font-size: 17px; font-weight: bold; } .note { font-size: 12px; fill: #444; }`;

const escaped = (text) => text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;");

/** Names of what is built several times show the letter: Q{n}A is drawn as QnA. */
const shown = (text, sheet) => escaped(text.replaceAll("{n}", sheet.repeat?.letter ?? "n"));

const groundMark = (x, y, dx, dy) => {
  const bar = (distance, half) =>
    `M${x + dx * distance - dy * half} ${y + dy * distance - dx * half}L${x + dx * distance + dy * half} ${y + dy * distance + dx * half}`;
  return `<path class="wire" d="${bar(0, 9)}${bar(4, 6)}${bar(8, 3)}"/>`;
};

/** A net's name at the end of a wire or stub that leads in this direction. */
function netName(net, x, y, dx, dy, sheet) {
  if (net === "GND") return groundMark(x, y, dx, dy);
  const text = shown(net, sheet);
  if (dy !== 0) return `<text class="net" text-anchor="middle" x="${x}" y="${dy < 0 ? y - 5 : y + 14}">${text}</text>`;
  const anchor = dx < 0 ? "end" : "start";
  return `<text class="net" text-anchor="${anchor}" x="${x + 4 * dx}" y="${y + 4}">${text}</text>`;
}

const directions = { left: [-1, 0], right: [1, 0], up: [0, -1], down: [0, 1] };

/** The sheet's SVG. Throws with every sentence that speaks against its wires. */
export function sheetSvg(sheet, number, of) {
  const { pins, netOf, segments, labels, joints, wired, wrong } = wiringOf(sheet);
  if (wrong.length > 0) throw new Error(wrong.join("\n"));
  const [width, height] = sheet.size;
  const out = [];
  for (const { from, to } of segments) out.push(`<path class="wire" d="M${from.x} ${from.y}L${to.x} ${to.y}"/>`);
  for (const { x, y } of joints) out.push(`<circle class="joint" cx="${x}" cy="${y}" r="3.5"/>`);
  for (const [pin, { x, y, dx, dy }] of pins) {
    if (wired.has(pin)) continue;
    const net = netOf.get(pin);
    if (net === undefined) {
      out.push(`<path d="M${x - 4} ${y - 4}L${x + 4} ${y + 4}M${x - 4} ${y + 4}L${x + 4} ${y - 4}"/>`);
      continue;
    }
    const end = { x: x + 12 * dx, y: y + 12 * dy };
    out.push(`<path class="wire" d="M${x} ${y}L${end.x} ${end.y}"/>`, netName(net, end.x, end.y, dx, dy, sheet));
  }
  for (const { net, x, y, side } of labels) {
    const [dx, dy] = directions[side];
    out.push(netName(net, x, y, dx, dy, sheet));
  }
  for (const [reference, part] of Object.entries(sheet.parts)) {
    const { x, y, anchor } = textPlaceOf(part);
    out.push(drawingOf(part, reference));
    out.push(`<text x="${x}" y="${y}" text-anchor="${anchor}">${shown(reference, sheet)}</text>`);
    out.push(`<text class="value" x="${x}" y="${y + 13}" text-anchor="${anchor}">${shown(part.value, sheet)}</text>`);
  }
  for (const note of sheet.notes)
    out.push(`<text class="note" x="${note.at[0]}" y="${note.at[1]}">${escaped(note.text)}</text>`);
  const title = `${escaped(sheet.title)}`;
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height + 40}" role="img">`,
    `<title>${title}</title><style>${style}\n</style>`,
    `<rect x="0" y="0" width="${width}" height="${height + 40}" style="fill:#fff;stroke:none"/>`,
    `<rect class="frame" x="8" y="8" width="${width - 16}" height="${height + 24}"/>`,
    ...out,
    `<text class="title" x="24" y="${height + 18}">Sheet ${number} of ${of}: ${title}</text>`,
    "</svg>",
    "",
  ].join("\n");
}
