/** Every part in its place on its board, with the hole of every leg. */
import { builtParts, layout } from "./design.mjs";
import { footprint } from "./footprints.mjs";

const turns = {
  across: ([x, y]) => [x, y],
  down: ([x, y]) => [-y, x],
  up: ([x, y]) => [y, -x],
};

/** Board name → placed parts; throws when two legs share a hole, one lies outside, or a part is nowhere or twice. */
export function placements() {
  const parts = builtParts();
  const boards = new Map();
  const seen = new Map();
  for (const board of layout.boards) {
    const taken = new Map();
    const placed = [];
    for (const [pattern, [kind, column, row, direction = "across", step = 0]] of Object.entries(board.parts)) {
      for (const { reference, index } of matching(pattern, parts)) {
        if (seen.has(reference)) throw new Error(`${reference} is placed twice`);
        seen.set(reference, board.name);
        const print = footprint(kind, parts.get(reference).pins);
        const turn = turns[direction];
        const origin = [column + index * step, row];
        const holes = print.holes.map(([pin, ...offset]) => {
          const [dx, dy] = turn(offset);
          return { pin, column: origin[0] + dx, row: origin[1] + dy };
        });
        for (const hole of holes) occupy(taken, board, reference, hole);
        const [x1, y1] = turn(print.body.slice(0, 2));
        const [x2, y2] = turn(print.body.slice(2));
        const body = [
          origin[0] + Math.min(x1, x2),
          origin[1] + Math.min(y1, y2),
          origin[0] + Math.max(x1, x2),
          origin[1] + Math.max(y1, y2),
        ];
        const under = placed.find((other) => overlap(other.body, body));
        if (under) throw new Error(`${board.name}: ${reference} covers ${under.reference}`);
        placed.push({ reference, kind, holes, body });
      }
    }
    boards.set(board.name, placed);
  }
  for (const pattern of Object.keys(layout.offBoard))
    for (const { reference } of matching(pattern, parts)) seen.set(reference, "off");
  for (const reference of parts.keys()) if (!seen.has(reference)) throw new Error(`${reference} has no place`);
  return boards;
}

const overlap = ([left, top, right, bottom], [left2, top2, right2, bottom2]) =>
  left < right2 && left2 < right && top < bottom2 && top2 < bottom;

function occupy(taken, board, reference, { pin, column, row }) {
  const key = `${column}.${row}`;
  if (taken.has(key)) throw new Error(`${board.name}: ${reference}.${pin} and ${taken.get(key)} share hole ${key}`);
  if (column < 1 || row < 1 || column > board.columns || row > board.rows)
    throw new Error(`${board.name}: ${reference}.${pin} is off the board`);
  taken.set(key, `${reference}.${pin}`);
}

function matching(pattern, parts) {
  if (!pattern.includes("{n}")) {
    if (!parts.has(pattern)) throw new Error(`the layout places ${pattern}, which no sheet has`);
    return [{ reference: pattern, index: 0 }];
  }
  const [before, after] = pattern.split("{n}");
  const form = new RegExp(`^${before}(\\d+)${after}$`);
  return [...parts.keys()].flatMap((reference) => {
    const index = form.exec(reference)?.[1];
    return index === undefined ? [] : [{ reference, index: Number(index) }];
  });
}
