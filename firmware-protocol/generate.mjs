/**
 * Writes the TypeScript and the C side of the wire contract from protocol.json, so that neither can drift.
 *
 *   node firmware-protocol/generate.mjs           writes both files
 *   node firmware-protocol/generate.mjs --check   writes nothing, exits 1 when a file is not what the table says
 */
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { headerFrom } from "./generate-c.mjs";
import { modelFrom } from "./generate-model.mjs";
import { typescriptFrom } from "./generate-ts.mjs";

const here = dirname(fileURLToPath(import.meta.url));
const model = modelFrom(JSON.parse(readFileSync(join(here, "protocol.json"), "utf8")));
const outputs = [
  { path: "src/generated/protocol.ts", text: typescriptFrom(model) },
  { path: "firmware/generated/protocol.h", text: headerFrom(model) },
];

const check = process.argv.includes("--check");
let stale = 0;
for (const { path, text } of outputs) {
  const full = join(here, path);
  if (check) {
    if (readOrEmpty(full) !== text) {
      process.stderr.write(`firmware-protocol/${path} is stale: run node firmware-protocol/generate.mjs\n`);
      stale += 1;
    }
  } else {
    mkdirSync(dirname(full), { recursive: true });
    writeFileSync(full, text);
  }
}
process.exitCode = stale > 0 ? 1 : 0;

function readOrEmpty(path) {
  try {
    return readFileSync(path, "utf8");
  } catch {
    return "";
  }
}
