/** The shopping list: equal parts together, with every reference. */
import { builtParts, layout, sheets } from "./design.mjs";
import { markdownTable } from "./markdown-table.mjs";

/** R3A before R10A, and letters in their order. */
const natural = new Intl.Collator("en", { numeric: true }).compare;

function shortList(references) {
  const patterns = new Map();
  for (const reference of references) {
    const form = /^(R|Q|D|RN|RF|RL)(\d+)([A-E]?)$/.exec(reference);
    const repeated = form !== null && (form[3] !== "" || form[1] === "RL");
    const key = repeated ? `${form[1]}‹n›${form[3]}` : reference;
    patterns.set(key, [...(patterns.get(key) ?? []), reference]);
  }
  return [...patterns]
    .map(([key, members]) => (members.length > 1 ? `${key} (${members.length})` : members[0]))
    .join(", ");
}

/** Markdown with one row a kind of part. */
export function partsTable() {
  const groups = new Map();
  for (const [reference, part] of [...builtParts()].sort(([one], [other]) => natural(one, other))) {
    const isValue = /\d/.test(part.value) && !part.part.includes(part.value);
    const key = `${part.part}|${isValue ? part.value : ""}`;
    const group = groups.get(key) ?? {
      part: part.part,
      value: isValue ? part.value : "",
      references: [],
      why: new Set(),
    };
    group.references.push(reference);
    group.why.add(part.why);
    groups.set(key, group);
  }
  const rows = [...groups.values()]
    .sort((one, other) => natural(one.part, other.part) || natural(one.value, other.value))
    .map(({ part, value, references, why }) => [
      String(references.length),
      value,
      part,
      shortList(references),
      [...why].join("; "),
    ]);
  const total = [...groups.values()].reduce((sum, { references }) => sum + references.length, 0);
  const boards = layout.boards.map(({ title, columns, rows: high }) => `${title} (${columns} × ${high})`).join(", ");
  return [
    "# Parts",
    "",
    `Generated from \`design/\` by \`generate.mjs\`; do not edit. ${total} parts on ${sheets.length} sheets. ‹n› is the channel. Any make will do`,
    "that meets the words; the device numbers are examples that many makers sell. The far adapter's twelve loads are its most;",
    "six are enough for a seven-pin socket.",
    "",
    ...markdownTable(["number", "value", "part", "reference", "what for"], rows, [0]),
    "",
    `Besides: perforated boards of at least these holes: ${boards}; sockets for all DIP chips; a clip-on heat sink for each`,
    "Q‹n›A; a box with a lid; wire of 0.25, 1.5 and 2.5 mm²; a USB serial cable with 5 V levels; a programmer for the controller.",
    "",
  ].join("\n");
}
