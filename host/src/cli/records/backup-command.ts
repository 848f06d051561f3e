import type { Command } from "commander";
import { keyPathOf } from "../../records/chain/signing-key.js";
import { exitCodes } from "../exit-code.js";
import { ProgressLine } from "../progress-line.js";
import type { Terminal } from "../terminal.js";
import { type StoreOption, storeCommand, withStore } from "./store-access.js";

/** `pinwalk records backup`: a copy of the store, safe while it is in use. */
export function backupCommand(terminal: Terminal): Command {
  return storeCommand("backup")
    .description(
      "Copy the whole store to a new file, safe while it is in use. The signing key is not part of it: see `pinwalk records key`.",
    )
    .argument("<file>", "where to; must not exist yet")
    .action(async (path: string, options: StoreOption) => {
      const line = new ProgressLine(terminal.watched ? "terminal" : "none");
      const result = await withStore("read", options, (store) =>
        store.backUp(path, (share) => line.detail(`Copied ${Math.round(share * 100)} %`)),
      ).finally(() => line.clear());
      terminal.exitWith(exitCodes.pass);
      terminal.out(
        `Copied ${result.records} records (${result.bytes} bytes) to ${path}, with its page seal beside it.`,
      );
      terminal.err(
        `The key that signs new records stays at ${keyPathOf(options.store)}: keep a copy of it apart (pinwalk records key --export FILE).`,
      );
    });
}
