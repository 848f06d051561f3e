import { existsSync } from "node:fs";
import { type Command, Option } from "commander";
import { exportBundle } from "../../records/bundle/export-bundle.js";
import { RecordsError } from "../../records/records-error.js";
import { circuitCsv } from "../../records/report/circuit-csv.js";
import type { RecordStore } from "../../records/store/record-store.js";
import type { SavedRecord } from "../../records/store/saved-record.js";
import { mostPerPage } from "../../records/store/search-records.js";
import { wrongUse } from "../command-failure.js";
import { exitCodes } from "../exit-code.js";
import type { Terminal } from "../terminal.js";
import { addSearchOptions, queryOf, type SearchOptions } from "./search-options.js";
import { programVersion, type StoreOption, storeCommand, withStore } from "./store-access.js";
import { writeWholeFile } from "./written-file.js";

const forms = ["records", "pdf", "html", "csv", "json", "label-pdf", "label-svg"] as const;
type Form = (typeof forms)[number];

interface Options extends StoreOption, SearchOptions {
  readonly as?: Form;
  readonly record: readonly string[];
  readonly paper?: "A4" | "LETTER";
  readonly force?: boolean;
}

const again = (value: string, before: readonly string[]): readonly string[] => [...before, value];

function formOf(path: string, as: Form | undefined): Form {
  if (as) return as;
  const ending = /\.([a-z-]+)$/i.exec(path)?.[1]?.toLowerCase() ?? "";
  const form =
    forms.find((one) => one === ending) ??
    (ending === "pinwalk-records" ? "records" : ending === "svg" ? "label-svg" : undefined);
  if (form) return form;
  throw wrongUse(
    `${path}: the ending does not say what to write. Use .pinwalk-records, .pdf, .html, .csv, .json or .svg, or --as FORM.`,
  );
}

/** The records that were named, or all that fit the search; oldest first, as chains go. */
async function chosen(store: RecordStore, options: Options): Promise<readonly string[]> {
  if (options.record.length > 0)
    return Promise.all(options.record.map(async (reference) => (await store.record(reference)).hash));
  const found: { hash: string; seq: number }[] = [];
  let before: number | undefined;
  do {
    const page = await store.search({
      ...queryOf(options),
      limit: mostPerPage,
      ...(before === undefined ? {} : { before }),
    });
    found.push(...page.records);
    before = page.nextBefore ?? undefined;
  } while (before !== undefined);
  if (found.length === 0) throw wrongUse("No record fits.");
  return found.sort((a, b) => a.seq - b.seq).map(({ hash }) => hash);
}

async function documentOf(
  store: RecordStore,
  records: readonly SavedRecord[],
  form: Exclude<Form, "records">,
  { paper }: Options,
) {
  if (form === "csv") return circuitCsv(records);
  if (form === "json")
    return `${JSON.stringify(
      records.map(({ record, hash, signature }) => ({ record, hash, signature })),
      null,
      2,
    )}\n`;
  const [saved] = records;
  if (!saved || records.length > 1)
    throw wrongUse(`One ${form} holds one record; ${records.length} fit. Name it with --record.`);
  const options = {
    correctedBy: saved.summary.correctedBy,
    photo: async (sha256: string) => (await store.photo(sha256))?.data,
  };
  // The typesetter is loaded where something is to be set.
  const { labelPdf, labelSvg } = await import("../../records/report/cable-label.js");
  const { certificatePdf } = await import("../../records/report/certificate-pdf.js");
  const { printablePage } = await import("../../records/report/printable-page.js");
  switch (form) {
    case "pdf":
      return certificatePdf(saved, { ...options, ...(paper ? { paper } : {}) });
    case "html":
      return printablePage(saved, options);
    case "label-pdf":
      return labelPdf(saved);
    case "label-svg":
      return labelSvg(saved);
  }
}

/** `pinwalk records export`: records for other people and programs. */
export function exportCommand(terminal: Terminal): Command {
  return addSearchOptions(storeCommand("export"))
    .description("Write records into a file: for another Pinwalk, as a certificate, for a spreadsheet, as a label.")
    .argument("<file>", "its ending says what to write")
    .option(
      "--record <record>",
      "this record: number or hash (again for more); else all that fit the search",
      again,
      [],
    )
    .addOption(new Option("--as <form>", "what to write, whatever the ending").choices([...forms]))
    .addOption(new Option("--paper <size>", "paper of a certificate").choices(["A4", "LETTER"]))
    .option("--force", "write over an existing file")
    .addHelpText(
      "after",
      `
Endings: .pinwalk-records  signed file that another Pinwalk imports and verifies
         .pdf              certificate of one record       .html  the same as a printable page
         .csv              one line a circuit              .json  records with hashes and signatures
         .svg              label of one cable; as PDF with --as label-pdf
Example:
  pinwalk records export certificate.pdf --record '#17'`,
    )
    .action(async (path: string, options: Options) => {
      const form = formOf(path, options.as);
      const count = await withStore("read", options, async (store) => {
        const hashes = await chosen(store, options);
        if (form === "records") {
          if (existsSync(path) && !options.force)
            throw new RecordsError(
              "conflict",
              `${path}: there is a file already. Give another name, or --force to write over it.`,
            );
          await exportBundle(store, hashes, path, programVersion());
          return hashes.length;
        }
        const records: SavedRecord[] = [];
        for (const hash of hashes) records.push(await store.record(hash));
        await writeWholeFile(path, await documentOf(store, records, form, options), options.force);
        return hashes.length;
      });
      terminal.exitWith(exitCodes.pass);
      terminal.out(`Wrote ${count} ${count === 1 ? "record" : "records"} to ${path}.`);
    });
}
