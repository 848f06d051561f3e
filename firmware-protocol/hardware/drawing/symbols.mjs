/** The symbols of the schematic: where their pins are, and how they look. Units are those of the drawing, 10 a grid step. */

const rowStep = 20;
const stub = 20;
const P = (x, y, dx, dy) => ({ x, y, dx, dy });
const inLine = (first, second, half) => ({ [first]: P(-half, 0, -1, 0), [second]: P(half, 0, 1, 0) });
const transistor = (side, top, bottom) => ({
  [side]: P(-30, 0, -1, 0),
  [top]: P(10, -30, 0, -1),
  [bottom]: P(10, 30, 0, 1),
});

const line = (x1, y1, x2, y2) => `<path d="M${x1} ${y1}L${x2} ${y2}"/>`;
const path = (d, extra = "") => `<path d="${d}"${extra}/>`;
const solid = ' class="solid"';

const resistorBody = `<rect x="-18" y="-7" width="36" height="14"/>${line(-30, 0, -18, 0)}${line(18, 0, 30, 0)}`;
const diodeBody = `${path("M-8 -8L8 0L-8 8Z", solid)}${line(-20, 0, -8, 0)}${line(8, 0, 20, 0)}`;
const cathode = line(8, -8, 8, 8);
const zenerCathode = path("M4 -11L8 -8L8 8L12 11");
const plates = `${line(-20, 0, -4, 0)}${line(4, 0, 20, 0)}${line(-4, -12, -4, 12)}`;
const mosBody = (arrow, bodyDiode) =>
  `${line(-30, 0, -8, 0)}${line(-8, -14, -8, 14)}${path("M-2 -18L-2 -10M-2 -4L-2 4M-2 10L-2 18")}` +
  `${path("M-2 -14L10 -14L10 -30M-2 14L10 14L10 30")}${arrow}` +
  `${path("M10 -22L24 -22L24 22L10 22")}${bodyDiode}`;
const nand = `${path("M-20 -18L4 -18A18 18 0 0 1 4 18L-20 18Z")}<circle cx="26" cy="0" r="4"/>${line(-30, -10, -20, -10)}${line(-30, 10, -20, 10)}${line(30, 0, 40, 0)}`;

/** kind → pins of the upright symbol and its drawing. */
const simple = {
  resistor: { pins: inLine("1", "2", 30), draw: resistorBody },
  thermistor: { pins: inLine("1", "2", 30), draw: `${resistorBody}${path("M-22 14L-14 14L14 -14")}` },
  fuse: { pins: inLine("1", "2", 30), draw: `<rect x="-18" y="-7" width="36" height="14"/>${line(-30, 0, 30, 0)}` },
  capacitor: { pins: inLine("1", "2", 20), draw: `${plates}${line(4, -12, 4, 12)}` },
  electrolytic: {
    pins: inLine("1", "2", 20),
    draw: `${plates}${path("M9 -12Q1 0 9 12")}${path("M-14 -10L-8 -10M-11 -13L-11 -7")}`,
  },
  diode: { pins: inLine("A", "K", 20), draw: `${diodeBody}${cathode}` },
  zener: { pins: inLine("A", "K", 20), draw: `${diodeBody}${zenerCathode}` },
  led: {
    pins: inLine("A", "K", 20),
    draw: `${diodeBody}${cathode}${path("M-2 -11L4 -18M4 -18L0 -17M4 -18L3 -14M5 -10L11 -17M11 -17L7 -16M11 -17L10 -13")}`,
  },
  crystal: {
    pins: inLine("1", "2", 20),
    draw: `${line(-20, 0, -9, 0)}${line(9, 0, 20, 0)}${line(-9, -10, -9, 10)}${line(9, -10, 9, 10)}<rect x="-5" y="-12" width="10" height="24"/>`,
  },
  "button-make": {
    pins: inLine("1", "2", 30),
    draw: `${line(-30, 0, -14, 0)}${line(14, 0, 30, 0)}${path("M-14 0L12 -12M0 -6L0 -20M-6 -20L6 -20")}`,
  },
  "button-break": {
    pins: inLine("1", "2", 30),
    draw: `${line(-30, 0, -14, 0)}${line(14, 0, 30, 0)}${path("M-14 0L16 -6M14 0L14 -10M0 -3L0 -20M-6 -20L6 -20")}`,
  },
  nmos: {
    pins: transistor("G", "D", "S"),
    draw: mosBody(
      `${path("M-2 0L10 0L10 14")}${path("M-2 0L6 -4L6 4Z", solid)}`,
      `${path("M19 5L29 5L24 -5Z", solid)}${line(19, -5, 29, -5)}`,
    ),
  },
  pmos: {
    pins: transistor("G", "S", "D"),
    draw: mosBody(
      `${path("M-2 0L10 0L10 -14")}${path("M10 0L2 -4L2 4Z", solid)}`,
      `${path("M19 5L29 5L24 -5Z", solid)}${line(19, -5, 29, -5)}`,
    ),
  },
  npn: {
    pins: transistor("B", "C", "E"),
    draw: `${line(-30, 0, -6, 0)}${line(-6, -16, -6, 16)}${path("M-6 -6L10 -18L10 -30M-6 6L10 18L10 30")}${path("M10 18L1 16L6 10Z", solid)}`,
  },
  relay: {
    pins: { 86: P(-30, -30, 0, -1), 85: P(-30, 30, 0, 1), 30: P(30, -30, 0, -1), 87: P(30, 30, 0, 1) },
    draw: `<rect x="-44" y="-12" width="28" height="24"/>${line(-44, 12, -16, -12)}${line(-30, -30, -30, -12)}${line(-30, 12, -30, 30)}${line(30, -30, 30, -14)}${path("M30 30L30 14L18 -12")}${path("M-16 0L22 0", ' stroke-dasharray="4 3"')}`,
  },
};

const entryNumber = (entry) => entry.split(" ")[0];
const entryName = (entry) => entry.split(" ").slice(1).join(" ");

function boxPins(box) {
  const pins = new Map();
  for (const [at, entry] of (box.left ?? []).entries()) {
    if (entry !== "") pins.set(entryNumber(entry), P(-stub, rowStep * (at + 1), -1, 0));
  }
  for (const [at, entry] of (box.right ?? []).entries()) {
    if (entry !== "") pins.set(entryNumber(entry), P(box.width + stub, rowStep * (at + 1), 1, 0));
  }
  return pins;
}

const boxHeight = (box) => rowStep * (Math.max(box.left?.length ?? 0, box.right?.length ?? 0) + 1);

function boxDraw(box) {
  const out = [`<rect x="0" y="0" width="${box.width}" height="${boxHeight(box)}" class="chip"/>`];
  for (const [side, entries] of [
    ["left", box.left ?? []],
    ["right", box.right ?? []],
  ]) {
    for (const [at, entry] of entries.entries()) {
      if (entry === "") continue;
      const y = rowStep * (at + 1);
      const edge = side === "left" ? 0 : box.width;
      const out1 = side === "left" ? -stub : box.width + stub;
      const inward = side === "left" ? 5 : -5;
      out.push(line(out1, y, edge, y));
      out.push(
        `<text x="${edge + inward}" y="${y + 4}" class="pin-name" text-anchor="${side === "left" ? "start" : "end"}">${entryName(entry)}</text>`,
      );
      out.push(
        `<text x="${edge - inward}" y="${y - 3}" class="pin-number" text-anchor="${side === "left" ? "end" : "start"}">${entryNumber(entry)}</text>`,
      );
    }
  }
  return out.join("");
}

const gateNumber = (x, y, number) => `<text x="${x}" y="${y}" class="pin-number" text-anchor="middle">${number}</text>`;

/** Parts of one chip that are drawn apart: two inputs and an output, or a box for its supply. */
const units = {
  nand: {
    pins: ([a, b, y]) => [
      [a, P(-30, -10, -1, 0)],
      [b, P(-30, 10, -1, 0)],
      [y, P(40, 0, 1, 0)],
    ],
    draw: ([a, b, y]) => `${nand}${gateNumber(-25, -13, a)}${gateNumber(-25, 22, b)}${gateNumber(36, -5, y)}`,
  },
  comparator: {
    pins: ([plus, minus, out]) => [
      [plus, P(-30, -10, -1, 0)],
      [minus, P(-30, 10, -1, 0)],
      [out, P(40, 0, 1, 0)],
    ],
    draw: ([plus, minus, out]) =>
      `${path("M-20 -22L24 0L-20 22Z")}${line(-30, -10, -20, -10)}${line(-30, 10, -20, 10)}${line(24, 0, 40, 0)}` +
      `${path("M-16 -10L-8 -10M-12 -14L-12 -6M-16 10L-8 10")}${gateNumber(-25, -13, plus)}${gateNumber(-25, 22, minus)}${gateNumber(32, -5, out)}`,
  },
};

const turned = ({ x, y, dx, dy }, part) => {
  const flipped = part.flip ? { x, y: -y, dx, dy: -dy } : { x, y, dx, dy };
  const steps = (part.turn ?? 0) / 90;
  let point = flipped;
  for (let step = 0; step < steps; step += 1) {
    point = { x: -point.y, y: point.x, dx: -point.dy, dy: point.dx };
  }
  return point;
};

/** Pins of a part as it stands on its sheet: place, and the direction that leads away from the symbol. */
export function pinsOf(part) {
  const pins = new Map();
  const put = (number, point, [x, y]) => pins.set(String(number), { ...point, x: point.x + x + 0, y: point.y + y + 0 });
  if (part.kind === "units") {
    for (const unit of part.units) {
      if (unit.kind === "box") for (const [number, point] of boxPins(unit)) put(number, point, unit.at);
      else for (const [number, point] of units[unit.kind].pins(unit.pins)) put(number, point, unit.at);
    }
  } else if (part.kind === "chip") {
    for (const [number, point] of boxPins(part)) put(number, point, part.at);
  } else {
    for (const [number, point] of Object.entries(simple[part.kind].pins)) put(number, turned(point, part), part.at);
  }
  return pins;
}

/** Every unit of a chip says whose it is. */
function unitName(unit, reference) {
  const [x, y] = unit.at;
  if (unit.kind === "box") return `<text x="${x}" y="${y - 6}">${reference}, supply</text>`;
  return `<text x="${x - 2}" y="${y + 4}" class="pin-name" text-anchor="middle">${reference}</text>`;
}

/** The part's symbol as SVG, in place. */
export function drawingOf(part, reference) {
  const placed = (at, text, transform = "") => `<g transform="translate(${at[0]} ${at[1]})${transform}">${text}</g>`;
  if (part.kind === "units") {
    return part.units
      .map(
        (unit) =>
          placed(unit.at, unit.kind === "box" ? boxDraw(unit) : units[unit.kind].draw(unit.pins)) +
          unitName(unit, reference),
      )
      .join("");
  }
  if (part.kind === "chip") return placed(part.at, boxDraw(part));
  const { draw } = simple[part.kind];
  return placed(part.at, draw, `${part.turn ? ` rotate(${part.turn})` : ""}${part.flip ? " scale(1 -1)" : ""}`);
}

/** Where a part's reference and value are written: a point and how the text stands to it. */
export function textPlaceOf(part) {
  if (part.textAt) return { x: part.textAt[0], y: part.textAt[1], anchor: "start" };
  if (part.kind === "units") return { x: part.units[0].at[0] - 20, y: part.units[0].at[1] - 42, anchor: "start" };
  const [x, y] = part.at;
  if (part.kind === "chip") return { x, y: y - 20, anchor: "start" };
  const upright = (part.turn ?? 0) % 180 !== 0;
  if (["nmos", "pmos", "npn"].includes(part.kind)) {
    return part.turn ? { x, y: y - 38, anchor: "middle" } : { x: x + 32, y: y - 2, anchor: "start" };
  }
  if (part.kind === "relay") return { x: x + 46, y: y - 2, anchor: "start" };
  if (upright) return { x: x + 16, y: y - 2, anchor: "start" };
  if (part.kind.startsWith("button")) return { x, y: y + 22, anchor: "middle" };
  return part.text === "below" ? { x, y: y + 24, anchor: "middle" } : { x, y: y - 28, anchor: "middle" };
}
