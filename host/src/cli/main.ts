import { Command, CommanderError } from "commander";
import { CommandFailure } from "./command-failure.js";
import { type ExitCode, exitCodes } from "./exit-code.js";
import { recordsSummary } from "./records/records-summary.js";
import { processTerminal, type Terminal } from "./terminal.js";

const terminal = processTerminal();

/** How long open handles may keep a finished command alive. */
const lingerMs = 3000;

const exitCodeHelp = `
Exit codes:
  0   pass               1   fail              2   unsure
  3   could not test     64  wrong use

Units are volts, amps, ohms and metres. Before a real bench drives anything, read the cautions in the README.`;

/** Each command with what it loads, in the order of the help. */
const commands: Readonly<Record<string, () => Promise<(terminal: Terminal) => Command>>> = {
  benches: async () => (await import("./benches-command.js")).benchesCommand,
  expect: async () => (await import("./expect-command.js")).expectCommand,
  check: async () => (await import("./check-command.js")).checkCommand,
  walk: async () => (await import("./walk-command.js")).walkCommand,
  flex: async () => (await import("./flex-command.js")).flexCommand,
  selftest: async () => (await import("./selftest-command.js")).selftestCommand,
  calibrate: async () => (await import("./calibrate-command.js")).calibrateCommand,
  listen: async () => (await import("./listen-command.js")).listenCommand,
  outlet: async () => (await import("./outlet-command.js")).outletCommand,
  diagnose: async () => (await import("./diagnose-command.js")).diagnoseCommand,
  records: async () => (await import("./records/records-command.js")).recordsCommand,
  serve: async () => (await import("./serve-command.js")).serveCommand,
};

/** `walk …` and `help walk` mean one command. */
const meant = process.argv.slice(2, 4).find((word) => Object.hasOwn(commands, word));

/**
 * The command that is meant need not wait for what the others load. For an overview all are needed, but for that of the records,
 * which load a database and a typesetter.
 */
async function commandOf(name: string): Promise<Command> {
  const make = name === meant || (meant === undefined && name !== "records") ? await commands[name]?.() : undefined;
  return make ? make(terminal) : new Command(name).description(name === "records" ? recordsSummary : "");
}

async function program(): Promise<Command> {
  const root = new Command("pinwalk")
    .description("Walk the pins of tow-lighting wiring: what each should draw, what it draws, and what that means.")
    .showHelpAfterError("(pinwalk --help, or pinwalk COMMAND --help, shows what there is)")
    .addHelpText("after", exitCodeHelp);
  for (const name of Object.keys(commands)) root.addCommand((await commandOf(name)).copyInheritedSettings(root));
  for (const command of [root, ...root.commands]) command.exitOverride();
  return root;
}

function exitCodeOf(error: unknown): ExitCode {
  if (error instanceof CommanderError) {
    // `pinwalk help …` was asked for; the same text after a command without its arguments was not.
    const asked = error.code === "commander.help" && process.argv.slice(2, 4).includes("help");
    return error.exitCode === 0 || asked ? exitCodes.pass : exitCodes.wrongUse;
  }
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
