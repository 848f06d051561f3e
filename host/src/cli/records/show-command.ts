import type { Command } from "commander";
import { signerName } from "../../records/chain/record-signature.js";
import { certificateView } from "../../records/report/certificate-view.js";
import type { SavedRecord } from "../../records/store/saved-record.js";
import { exitCodes } from "../exit-code.js";
import { findingsText } from "../findings-text.js";
import type { Terminal } from "../terminal.js";
import { shownDocument } from "./shown-text.js";
import { type StoreOption, storeCommand, withStore } from "./store-access.js";
import { writeWholeFile } from "./written-file.js";

interface Options extends StoreOption {
  readonly json?: boolean;
  readonly planFile?: string;
  readonly force?: boolean;
}

/** A record for a person at a terminal. */
function recordText(saved: SavedRecord, terminal: Terminal): string {
  const { record, hash, summary } = saved;
  const view = certificateView({ record, hash, correctedBy: summary.correctedBy });
  const width = Math.max(...view.facts.map(({ label }) => label.length)) + 2;
  const facts = view.facts.map(({ label, value }) => `${label.padEnd(width)}${value}`);
  const origin = summary.own ? "" : `  (of another shop, signer ${signerName(record.signer)})`;
  const section = (title: string, lines: readonly string[]): readonly string[] =>
    lines.length === 0 ? [] : ["", title, ...lines.map((line) => `  ${line}`)];
  return [
    `Record #${record.number}${origin}`,
    ...[view.superseded, view.corrects].filter((text) => text !== null),
    ...facts,
    "",
    findingsText(record.findings, terminal),
    ...section(
      "Asked and answered",
      view.answers.map(({ question, answer }) => `${question} - ${answer}`),
    ),
    ...section("Notes", record.notes?.split("\n") ?? []),
    ...section(
      "Photos",
      record.photos.map(({ sha256, caption }) => `${sha256.slice(0, 16)}  ${caption ?? ""}`),
    ),
    "",
    `Hash    ${hash}`,
    `Signer  ${record.signer}`,
  ].join("\n");
}

/** `pinwalk records show`: one record in full, or its plan for a re-test. */
export function showCommand(terminal: Terminal): Command {
  return storeCommand("show")
    .description("Show one record: by its number, its hash, or the first 6 digits of it or more.")
    .argument("<record>", "number (#17) or hash")
    .option("--json", "print the record with its hash and signature")
    .option("--plan-file <file>", "write the record's plan, for a re-test: pinwalk walk FILE …")
    .option("--force", "write over an existing file")
    .addHelpText("after", "\nExample:\n  pinwalk records show '#17'\n  pinwalk records show 17 --plan-file retest.json")
    .action(async (reference: string, options: Options) => {
      const saved = await withStore("read", options, async (store) => {
        const found = await store.record(reference);
        if (options.planFile !== undefined)
          await writeWholeFile(options.planFile, `${JSON.stringify(found.record.plan, null, 2)}\n`, options.force);
        return found;
      });
      terminal.exitWith(exitCodes.pass);
      const { record, hash, signature } = saved;
      if (options.json) terminal.out(JSON.stringify({ record, hash, signature }, null, 2));
      else if (options.planFile === undefined)
        terminal.out(recordText({ ...saved, record: shownDocument(record) }, terminal));
      else
        terminal.out(`Wrote the plan of record #${record.number}; test again with: pinwalk walk ${options.planFile}`);
    });
}
