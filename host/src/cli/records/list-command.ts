import type { Command } from "commander";
import { signerName } from "../../records/chain/record-signature.js";
import type { RecordSummary } from "../../records/store/saved-record.js";
import { exitCodes } from "../exit-code.js";
import type { Terminal } from "../terminal.js";
import { textTable } from "../text-table.js";
import { addSearchOptions, limitOption, queryOf, type SearchOptions } from "./search-options.js";
import { shownLine } from "./shown-text.js";
import { type StoreOption, storeCommand, withStore } from "./store-access.js";

interface Options extends StoreOption, SearchOptions {
  readonly limit: number;
  readonly before?: number;
  readonly json?: boolean;
}

const colours = { pass: "green", fail: "red", unsure: "yellow" } as const;

function row(record: RecordSummary): readonly string[] {
  return [
    record.own ? `#${record.number}` : `${signerName(record.signer).slice(0, 9)} #${record.number}`,
    record.hash.slice(0, 10),
    record.testedAt.slice(0, 16).replace("T", " "),
    record.correctedBy ? `${record.verdict} (put right)` : record.verdict,
    shownLine(record.serial),
    shownLine(record.customer),
    shownLine(record.planName),
    shownLine(record.person),
  ];
}

const columns = ["Record", "Hash", "Tested, UTC", "Verdict", "Serial", "Customer", "Plan", "Person"].map(
  (title) => ({ title, align: "left" }) as const,
);
const verdictColumn = 3;

/** `pinwalk records list`: find records, the newest first. */
export function listCommand(terminal: Terminal): Command {
  return addSearchOptions(storeCommand("list"))
    .description("Find records; the newest first. Words match anywhere, whatever their case and accents.")
    .option("--limit <count>", "how many at most", limitOption, 50)
    .option("--before <seq>", "continue a list that was cut (the number is printed)", Number)
    .option("--json", "print one document")
    .addHelpText("after", "\nExample:\n  pinwalk records list --customer miller --since 2026-01-01 --verdict fail")
    .action(async (options: Options) => {
      const { limit, before, json } = options;
      const page = await withStore("read", options, (store) =>
        store.search({ ...queryOf(options), limit, ...(before === undefined ? {} : { before }) }),
      );
      terminal.exitWith(exitCodes.pass);
      if (json) return terminal.out(JSON.stringify(page, null, 2));
      if (page.records.length === 0) return terminal.out("No record fits.");
      terminal.out(
        textTable(columns, page.records.map(row), (cell, index, column) => {
          const verdict = page.records[index]?.verdict;
          return column === verdictColumn && verdict ? terminal.paint(colours[verdict], cell) : cell;
        }),
      );
      if (page.nextBefore !== null) terminal.err(`There are more: --before ${page.nextBefore} goes on.`);
    });
}
