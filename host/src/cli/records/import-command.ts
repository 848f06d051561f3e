import { existsSync } from "node:fs";
import type { Command } from "commander";
import { importBundle } from "../../records/bundle/import-bundle.js";
import { signerName } from "../../records/chain/record-signature.js";
import { wrongUse } from "../command-failure.js";
import { exitCodes } from "../exit-code.js";
import type { Terminal } from "../terminal.js";
import { type StoreOption, storeCommand, withStore } from "./store-access.js";

/** `pinwalk records import`: take in what another shop's Pinwalk, or this shop's own, exported. */
export function importCommand(terminal: Terminal): Command {
  return storeCommand("import")
    .description(
      "Take in records that a Pinwalk exported. Hashes and signatures are checked; records of other shops are shown as theirs. All or nothing.",
    )
    .argument("<file>", "a .pinwalk-records file")
    .action(async (path: string, options: StoreOption) => {
      if (!existsSync(path)) throw wrongUse(`${path}: there is no such file.`);
      const result = await withStore("write", options, (store) => importBundle(store, path));
      terminal.exitWith(exitCodes.pass);
      terminal.out(
        `Imported ${result.added} records; ${result.alreadyThere} were there already. Exported by ${signerName(result.exportedBy)}.`,
      );
      for (const { signer, own, added } of result.signers)
        terminal.out(`  ${added} of signer ${signerName(signer)} (${own ? "this shop" : "another shop"})`);
      if (result.remark) terminal.err(result.remark);
    });
}
