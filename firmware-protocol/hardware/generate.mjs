/**
 * Draws the bench from its design files, and lists its parts and wires, so that no drawing can drift from another.
 *
 *   node firmware-protocol/hardware/generate.mjs            writes sheets/*.svg, PARTS.md and WIRING.md
 *   node firmware-protocol/hardware/generate.mjs --check    writes nothing, exits 1 when a file is not what the design says
 *   node firmware-protocol/hardware/generate.mjs --netlist  prints parts and nets as JSON
 */
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { builtNets, builtParts, contradictions, layout, sheets } from "./drawing/design.mjs";
import { layoutSvg } from "./drawing/layout-svg.mjs";
import { partsTable } from "./drawing/parts-table.mjs";
import { sheetSvg } from "./drawing/sheet-svg.mjs";
import { wiringTables } from "./drawing/wiring-tables.mjs";

const here = dirname(fileURLToPath(import.meta.url));
const wrong = contradictions();
if (wrong.length > 0) {
  process.stderr.write(`${wrong.join("\n")}\n`);
  process.exit(1);
}
if (process.argv.includes("--netlist")) {
  const parts = Object.fromEntries(builtParts());
  process.stdout.write(JSON.stringify({ parts, nets: Object.fromEntries(builtNets()) }));
} else {
  const files = [
    ...sheets.map((sheet, at) => ({
      path: `sheets/${at + 1}-${sheet.name}.svg`,
      text: sheetSvg(sheet, at + 1, sheets.length),
    })),
    ...layout.boards.map((board) => ({ path: `sheets/board-${board.name}.svg`, text: layoutSvg(board) })),
    { path: "PARTS.md", text: partsTable() },
    { path: "WIRING.md", text: wiringTables() },
  ];
  if (process.argv.includes("--check")) check(files);
  else write(files);
}

function check(files) {
  const stale = files.filter(({ path, text }) => textOf(join(here, path)) !== text);
  for (const { path } of stale) process.stderr.write(`hardware/${path} is stale: run node hardware/generate.mjs\n`);
  process.exitCode = stale.length === 0 ? 0 : 1;
}

function write(files) {
  mkdirSync(join(here, "sheets"), { recursive: true });
  for (const { path, text } of files) writeFileSync(join(here, path), text);
}

function textOf(path) {
  try {
    return readFileSync(path, "utf8");
  } catch {
    return "";
  }
}
