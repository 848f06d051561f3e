/** Every net with the holes that it joins, for soldering and for ticking off. */
import { builtNets, layout } from "./design.mjs";
import { placements } from "./placement.mjs";

const natural = new Intl.Collator("en", { numeric: true }).compare;

/** Markdown with one row a net: legs by board, with column.row of their hole. */
export function wiringTables() {
  const holeOf = new Map();
  for (const [board, placed] of placements()) {
    for (const { reference, holes } of placed) {
      for (const { pin, column, row } of holes) holeOf.set(`${reference}.${pin}`, { board, hole: `${column}.${row}` });
    }
  }
  const rows = [...builtNets()]
    .sort(([one], [other]) => natural(one, other))
    .map(([net, pins]) => {
      const cells = [...layout.boards.map(({ name }) => name), undefined].map((board) =>
        pins
          .filter((pin) => holeOf.get(pin)?.board === board)
          .sort(natural)
          .map((pin) => (board === undefined ? pin : `${pin} (${holeOf.get(pin).hole})`))
          .join(", "),
      );
      return `| ${net} | ${cells.join(" | ")} |`;
    });
  return [
    "# Wires",
    "",
    "Generated from `design/` by `generate.mjs`; do not edit. Each row is one net: join all that stands in it. In brackets:",
    "column.row of the leg's hole on the board drawings. Nets with entries in two columns are wires between boards.",
    "",
    `| net | ${layout.boards.map(({ name }) => `${name} board`).join(" | ")} | off the boards |`,
    `|---|${layout.boards.map(() => "---|").join("")}---|`,
    ...rows,
    "",
  ].join("\n");
}
