/** Where the legs of a part go, in holes of 2.54 mm from its first leg, and what it covers. */
const axial = (pitch, names) => ({
  holes: [
    [names[0], 0, 0],
    [names[1], pitch, 0],
  ],
  body: [0, -0.4, pitch, 0.4],
});
const row = (names, step = 1, body = [-0.5, -0.6, (names.length - 1) * step + 0.5, 0.6]) => ({
  holes: names.map((name, at) => [name, at * step, 0]),
  body,
});

/** Pin 1 at the lower left, numbers run to the right and come back along the upper row. */
const dip = (count, across) => {
  const half = count / 2;
  const holes = Array.from({ length: count }, (_, at) =>
    at < half ? [String(at + 1), at, across] : [String(at + 1), count - 1 - at, 0],
  );
  return { holes, body: [-0.5, 0.3, half - 0.5, across - 0.3] };
};

const numbers = (count) => Array.from({ length: count }, (_, at) => String(at + 1));

const twoEnds = (pins) => (pins.includes("A") ? ["A", "K"] : ["1", "2"]);

/** Holes and outline of a footprint for a part with these pins. */
export function footprint(kind, pins) {
  if (kind.startsWith("axial")) return axial(Number(kind.slice(5)), twoEnds(pins));
  if (kind.startsWith("radial")) {
    const pitch = Number(kind.slice(6));
    return { ...axial(pitch, twoEnds(pins)), body: [-0.6, -0.8 - pitch * 0.2, pitch + 0.6, 0.8 + pitch * 0.2] };
  }
  if (kind.startsWith("dip")) return dip(Number(kind.slice(3)), kind === "dip24" ? 6 : 3);
  if (kind.startsWith("terminal"))
    return row(numbers(Number(kind.slice(8))), 2, [-1, -1, Number(kind.slice(8)) * 2 - 1, 1]);
  const fixed = {
    to220: row(["G", "D", "S"], 1, [-1, -1, 3, 1]),
    "to220-3": row(["1", "2", "3"], 1, [-1, -1, 3, 1]),
    "to92-sgd": row(["S", "G", "D"]),
    "to92-ebc": row(["E", "B", "C"]),
    reference: row(["A", "K"]),
    shunt: row(["1", "2"], 6, [-0.5, -1, 6.5, 1]),
    header3: row(numbers(3)),
    header2x3: {
      holes: [
        ["1", 0, 0],
        ["2", 0, 1],
        ["3", 1, 0],
        ["4", 1, 1],
        ["5", 2, 0],
        ["6", 2, 1],
      ],
      body: [-0.5, -0.5, 2.5, 1.5],
    },
    adapter5: {
      holes: [
        ["1", 0, 3],
        ["2", 1, 3],
        ["3", 2, 3],
        ["4", 2, 0],
        ["5", 0, 0],
      ],
      body: [-0.5, -0.5, 2.5, 3.5],
    },
  };
  const found = fixed[kind];
  if (found === undefined) throw new Error(`no footprint ${kind}`);
  return found;
}
