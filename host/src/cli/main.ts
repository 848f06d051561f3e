import { Command, CommanderError } from "commander";
import { benchesCommand } from "./benches-command.js";
import { calibrateCommand } from "./calibrate-command.js";
import { checkCommand } from "./check-command.js";
import { CommandFailure } from "./command-failure.js";
import { diagnoseCommand } from "./diagnose-command.js";
import { type ExitCode, exitCodes } from "./exit-code.js";
import { expectCommand } from "./expect-command.js";
import { flexCommand } from "./flex-command.js";
import { listenCommand } from "./listen-command.js";
import { outletCommand } from "./outlet-command.js";
import { recordsSummary } from "./records/records-summary.js";
import { selftestCommand } from "./selftest-command.js";
import { serveCommand } from "./serve-command.js";
import { processTerminal } from "./terminal.js";
import { walkCommand } from "./walk-command.js";

const terminal = processTerminal();

/** How long open handles may keep a finished command alive. */
const lingerMs = 3000;

const exitCodeHelp = `
Exit codes:
  0   pass               1   fail              2   unsure
  3   could not test     64  wrong use

Units are volts, amps, ohms and metres. Before a real bench drives anything, read the cautions in the README.`;

/** The record commands load a database and a typesetter, which the others need not wait for. */
async function recordsCommand(): Promise<Command> {
  const isMeant = process.argv.slice(2, 4).includes("records");
  if (!isMeant) return new Command("records").description(recordsSummary);
  const { recordsCommand: whole } = await import("./records/records-command.js");
  return whole(terminal);
}

async function program(): Promise<Command> {
  const root = new Command("pinwalk")
    .description("Walk the pins of tow-lighting wiring: what each should draw, what it draws, and what that means.")
    .showHelpAfterError("(pinwalk --help, or pinwalk COMMAND --help, shows what there is)")
    .addHelpText("after", exitCodeHelp);
  const commands = [
    benchesCommand(terminal),
    expectCommand(terminal),
    checkCommand(terminal),
    walkCommand(terminal),
    flexCommand(terminal),
    selftestCommand(terminal),
    calibrateCommand(terminal),
    listenCommand(terminal),
    outletCommand(terminal),
    diagnoseCommand(terminal),
    await recordsCommand(),
    serveCommand(terminal),
  ];
  for (const command of commands) root.addCommand(command.copyInheritedSettings(root));
  for (const command of [root, ...root.commands]) command.exitOverride();
  return root;
}

function exitCodeOf(error: unknown): ExitCode {
  if (error instanceof CommanderError) return error.exitCode === 0 ? exitCodes.pass : exitCodes.wrongUse;
  if (error instanceof CommandFailure) {
    terminal.err(error.message);
    return error.exitCode;
  }
  terminal.err(`Pinwalk stumbled over itself, which says nothing about the vehicle: ${describe(error)}`);
  return exitCodes.couldNotTest;
}

function describe(error: unknown): string {
  return error instanceof Error ? (error.stack ?? error.message) : String(error);
}

// Node would end with 1, which here means a failed vehicle. A command in the middle of its work listens for itself.
for (const crash of ["uncaughtException", "unhandledRejection"] as const) {
  process.on(crash, (error: unknown) => {
    if (process.listenerCount(crash) === 1) process.exit(exitCodeOf(error));
  });
}

// Whatever ends this process before a command has said how it ended must not look like a pass.
terminal.exitWith(exitCodes.couldNotTest);
try {
  await (await program()).parseAsync();
} catch (error) {
  terminal.exitWith(exitCodeOf(error));
}
// A forgotten handle must not keep the shell waiting; what is written by then has been written.
setTimeout(() => process.exit(), lingerMs).unref();
