import { Command } from "commander";
import type { Terminal } from "../terminal.js";
import { backupCommand } from "./backup-command.js";
import { batchCommand } from "./batch-command.js";
import { compareCommand } from "./compare-command.js";
import { exportCommand } from "./export-command.js";
import { importCommand } from "./import-command.js";
import { keepCommand } from "./keep-command.js";
import { keyCommand } from "./key-command.js";
import { listCommand } from "./list-command.js";
import { recordsSummary } from "./records-summary.js";
import { showCommand } from "./show-command.js";
import { verifyCommand } from "./verify-command.js";

/** `pinwalk records`: what is kept of finished jobs. */
export function recordsCommand(terminal: Terminal): Command {
  const records = new Command("records").description(recordsSummary);
  const commands = [
    keepCommand,
    listCommand,
    showCommand,
    verifyCommand,
    exportCommand,
    importCommand,
    compareCommand,
    batchCommand,
    backupCommand,
    keyCommand,
  ];
  for (const command of commands) records.addCommand(command(terminal).copyInheritedSettings(records).exitOverride());
  return records.addHelpText(
    "after",
    "\nExamples:\n  pinwalk records compare KX-4471-QB\n  pinwalk records import from-the-shop.pinwalk-records" +
      "\n  pinwalk records backup pinwalk-copy.sqlite\n" +
      "\nThe store is ~/.pinwalk/records.sqlite, or what --store or PINWALK_STORE names.",
  );
}
