/** Every net with the holes that it joins, for soldering and for ticking off. */
import { builtNets, layout } from "./design.mjs";
import { placements } from "./placement.mjs";

const natural = new Intl.Collator("en", { numeric: true }).compare;

/** Markdown with one entry a net: legs by board, with column.row of their hole. */
export function wiringTables() {
  const holeOf = new Map();
  for (const [board, placed] of placements()) {
    for (const { reference, holes } of placed) {
      for (const { pin, column, row } of holes) holeOf.set(`${reference}.${pin}`, { board, hole: `${column}.${row}` });
    }
  }
  const entries = [...builtNets()]
    .sort(([one], [other]) => natural(one, other))
    .map(([net, pins]) => {
      const places = [...layout.boards.map(({ name }) => name), undefined].flatMap((board) => {
        const legs = pins
          .filter((pin) => holeOf.get(pin)?.board === board)
          .sort(natural)
          .map((pin) => (board === undefined ? pin : `${pin} (${holeOf.get(pin).hole})`));
        return legs.length === 0 ? [] : [`${board ?? "off the boards"}: ${legs.join(", ")}`];
      });
      return `- **${net}** ${places.join(" · ")}`;
    });
  return [
    "# Wires",
    "",
    "Generated from `design/` by `generate.mjs`; do not edit. Each entry is one net: join all that stands in it. In brackets:",
    "column.row of the leg's hole on the board drawings. A net with two boards is a wire between them.",
    "",
    ...entries,
    "",
  ].join("\n");
}
