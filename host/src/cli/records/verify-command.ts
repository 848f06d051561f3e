import { closeSync, openSync, readSync } from "node:fs";
import type { Command } from "commander";
import { signerName } from "../../records/chain/record-signature.js";
import { verifyBundle } from "../../records/verify/verify-bundle.js";
import type { BadRecord, VerifyReport } from "../../records/verify/verify-report.js";
import { verifyStore } from "../../records/verify/verify-store.js";
import { wrongUse } from "../command-failure.js";
import { exitCodes } from "../exit-code.js";
import { ProgressLine } from "../progress-line.js";
import type { Terminal } from "../terminal.js";
import { shownLine } from "./shown-text.js";
import { recordsWork, type StoreOption, storeCommand } from "./store-access.js";

interface Options extends StoreOption {
  readonly has?: string;
  readonly json?: boolean;
}

/** A store begins as every SQLite file does; anything else is taken for an export. */
function looksLikeStore(path: string): boolean {
  try {
    const file = openSync(path, "r");
    try {
      const start = Buffer.alloc(15);
      readSync(file, start, 0, start.length, 0);
      // One changed byte of the word must not make an export of a store.
      return [...start].filter((byte, index) => byte === "SQLite format 3".charCodeAt(index)).length > 8;
    } finally {
      closeSync(file);
    }
  } catch (error) {
    throw wrongUse(`${path}: cannot read it: ${(error as Error).message}`);
  }
}

function badText({ number, signer, serial, hash, problem }: BadRecord): string {
  const which = number === null ? "A record" : `Record #${number}`;
  const whose = signer === null ? "" : ` of signer ${signerName(signer)}`;
  const about = [
    serial === null ? "" : `serial ${shownLine(serial)}`,
    hash === null ? "" : `hash ${hash.slice(0, 16)}…`,
  ];
  const known = about.filter((text) => text !== "").join(", ");
  return `${which}${whose}${known === "" ? "" : ` (${known})`}: ${shownLine(problem)}.`;
}

function reportText(report: VerifyReport, terminal: Terminal): string {
  const { holds, records, chains, bad, badCount, problems, remarks, path } = report;
  const head = holds
    ? terminal.paint("green", `HOLDS: ${records} records of ${path} are as they were written.`)
    : terminal.paint("red", `DOES NOT HOLD: ${path}, ${records} records looked at.`);
  return [
    head,
    ...(bad.length > 0 ? ["", `The first record that does not hold: ${badText(bad[0] as BadRecord)}`] : []),
    ...(bad.length > 1
      ? [`${badCount} do not hold in all:`, ...bad.slice(1, 20).map((one) => `  ${badText(one)}`)]
      : []),
    ...(problems.length > 0
      ? ["", ...problems.slice(0, 20).map(({ where, problem }) => `  ${shownLine(where)}: ${shownLine(problem)}.`)]
      : []),
    ...(!holds && bad.length === 0 && records > 0
      ? ["Every record looked at holds by its own hash and signature."]
      : []),
    "",
    ...chains.map(({ signer, own, records: count, lastNumber, lastHash }) => {
      const whose = own ? "this shop" : "another shop, or not known here";
      return `Signer ${signerName(signer)} (${whose}): ${count} records, the last #${lastNumber} with hash ${lastHash.slice(0, 16)}…`;
    }),
    ...remarks.map(shownLine),
  ].join("\n");
}

/** `pinwalk records verify`: is everything as it was written? */
export function verifyCommand(terminal: Terminal): Command {
  return storeCommand("verify")
    .description(
      "Check that nothing was changed: the whole store, or one exported file or copied store, offline. Ends with 1 if something does not hold.",
    )
    .argument("[file]", "an export or a store; without it the store is checked")
    .option("--has <hash>", "a hash from a certificate or label: it must be there")
    .option("--json", "print the report as one document")
    .addHelpText(
      "after",
      "\nExample:\n  pinwalk records verify\n  pinwalk records verify from-the-shop.pinwalk-records --has 3fa2c1d09b1e",
    )
    .action(async (file: string | undefined, options: Options) => {
      const line = new ProgressLine(terminal.watched ? "terminal" : "none");
      const settings = {
        ...(options.has === undefined ? {} : { has: options.has }),
        onProgress: (done: number, all: number) => line.detail(`Checked ${done} of ${all} records`),
      };
      const report = await recordsWork(() =>
        file === undefined || looksLikeStore(file)
          ? verifyStore(file ?? options.store, settings)
          : verifyBundle(file, settings),
      );
      line.clear();
      terminal.out(options.json ? JSON.stringify(report, null, 2) : reportText(report, terminal));
      terminal.exitWith(report.holds ? exitCodes.pass : exitCodes.fail);
    });
}
