import type { Command } from "commander";
import { signerName } from "../../records/chain/record-signature.js";
import { exportSigningKey, keyPathOf, publicKeyPem, signingKeyWords } from "../../records/chain/signing-key.js";
import { exitCodes } from "../exit-code.js";
import type { Terminal } from "../terminal.js";
import { type StoreOption, storeCommand, withStore } from "./store-access.js";
import { writeWholeFile } from "./written-file.js";

interface Options extends StoreOption {
  readonly export?: string;
  readonly public?: string;
  readonly startNew?: boolean;
}

function wrapped(text: string, width: number): string {
  return text.replace(new RegExp(`(.{1,${width}})(?: +|$)`, "g"), "$1\n").trimEnd();
}

/** `pinwalk records key`: the key that signs records. */
export function keyCommand(terminal: Terminal): Command {
  return storeCommand("key")
    .description("Show, copy or replace the key that signs this shop's records.")
    .option("--export <file>", "copy the private key for safe keeping: who has it can sign in this shop's name")
    .option("--public <file>", "write the public half, for those who check records with other tools")
    .option("--start-new", "start a new chain under a new key; the present key is put aside, not deleted")
    .addHelpText("after", `\n${wrapped(signingKeyWords, 100)}`)
    .action(async (options: Options) => {
      await withStore(options.startNew ? "write" : "read", options, async (store) => {
        if (options.startNew) {
          const { key, oldKeptAt } = await store.startNewKey();
          terminal.out(
            `New records are signed by ${signerName(key.signer)} from now on.${oldKeptAt ? ` The key before lies at ${oldKeptAt}.` : ""}`,
          );
        }
        const key = store.signingKey();
        if (!key)
          return terminal.out(`There is no key at ${keyPathOf(store.path)}. It is made when the first record is kept.`);
        if (options.export !== undefined) exportSigningKey(key, options.export);
        if (options.public !== undefined) await writeWholeFile(options.public, publicKeyPem(key));
        terminal.out(`Signer ${signerName(key.signer)}\nPublic key ${key.signer}\nKey file ${keyPathOf(store.path)}`);
        for (const { signer, own, records } of await store.chains())
          terminal.out(`  ${signerName(signer)}: ${records} records, ${own ? "this shop" : "another shop"}`);
      });
      terminal.exitWith(exitCodes.pass);
    });
}
