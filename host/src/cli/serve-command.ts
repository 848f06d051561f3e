import { spawn } from "node:child_process";
import { Command, Option } from "commander";
import { putPartsInForce } from "../plan/parts/parts-library.js";
import { lanAddresses } from "../server/access/lan-addresses.js";
import type { RunningServer } from "../server/start-server.js";
import { couldNotTest } from "./command-failure.js";
import { exitCodes } from "./exit-code.js";
import { wholeNumberOption } from "./number-option.js";
import { partsOption, readPartsFile } from "./parts-file.js";
import { onStopRequest } from "./stop-request.js";
import type { Terminal } from "./terminal.js";

interface Options {
  readonly port?: number;
  readonly open?: boolean;
  readonly store?: string;
  readonly parts?: string;
  /** True for every address of this machine on its networks. */
  readonly lan?: string | true;
}

/** Any port of the user range would do; this one is not registered for anything well known. */
const usualPort = 8377;

/** `pinwalk serve`: the dashboard until Ctrl-C, for this machine alone unless the local network is asked for. */
export function serveCommand(terminal: Terminal): Command {
  return new Command("serve")
    .description("Serve the dashboard to a browser on this machine, and to paired phones with --lan.")
    .option(
      "--port <N>",
      "TCP port on the loopback address (0 takes any free one)",
      wholeNumberOption("port", 0, 65535),
      8377,
    )
    .addOption(
      new Option("--store <file>", "record store (~/.pinwalk/records.sqlite unless given)").env("PINWALK_STORE"),
    )
    .addOption(partsOption())
    .option("--open", "open the page in the browser")
    .option(
      "--lan [address]",
      "answer on the local network too, at every IPv4 address of this machine or the one given",
    )
    .addHelpText(
      "after",
      "\nExamples:\n  pinwalk serve --open\n  pinwalk serve --lan            a phone is let in by a code from the page People" +
        "\n\nWhat passes over the network is not encrypted: use --lan on a network whose people you trust.",
    )
    .action(async ({ port, open, store, parts, lan }: Options) => {
      putPartsInForce(await readPartsFile(parts));
      const addresses = lan === undefined ? [] : lan === true ? lanAddresses() : [lan];
      if (lan !== undefined && addresses.length === 0)
        throw couldNotTest("This machine has no address on a local network. Connect it first, or leave --lan out.");
      const server = await start({ port, store, lan: addresses });
      terminal.err(`Pinwalk's dashboard: ${server.url}   (Ctrl-C ends it)`);
      for (const url of server.lanUrls) terminal.err(`On the local network:  ${url}`);
      if (server.lanUrls.length > 0)
        terminal.err(
          "Pair a phone: on this computer, open the page People and make a code. " +
            "Nothing is encrypted on the way, so trust the network.",
        );
      if (open) openBrowser(server.url);
      const code = await new Promise<typeof exitCodes.pass | typeof exitCodes.couldNotTest>((resolve) => {
        onStopRequest((reason) => {
          if (reason.kind === "crash") terminal.err(`Pinwalk stumbled over itself: ${String(reason.error)}`);
          resolve(reason.kind === "crash" ? exitCodes.couldNotTest : exitCodes.pass);
        });
      });
      await server.close();
      terminal.err("Stopped; every output is off.");
      terminal.exitWith(code);
    });
}

interface Start {
  readonly port: number | undefined;
  readonly store: string | undefined;
  readonly lan: readonly string[];
}

/** On the port that was asked for and no other; where none was, on the usual one if it is free. */
async function start({ port, store, lan }: Start): Promise<RunningServer> {
  // The other commands start faster without the server's libraries.
  const { startServer } = await import("../server/start-server.js");
  const more = { lan, ...(store === undefined ? {} : { recordsPath: store }) };
  try {
    return await startServer({ port: port ?? usualPort, ...more });
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    if (port === undefined && code === "EADDRINUSE") return await startServer({ port: 0, ...more });
    throw couldNotTest(portWords(port ?? usualPort, error));
  }
}

function portWords(port: number, error: unknown): string {
  const code = (error as NodeJS.ErrnoException).code;
  if (code === "EADDRINUSE")
    return `Port ${port} is taken: another Pinwalk may be running. Give another with --port N.`;
  if (code === "EADDRNOTAVAIL" || code === "ENOTFOUND")
    return "The address after --lan is none of this machine's. Leave it out to answer at every one of them.";
  if (code === "EACCES") return `No permission for port ${port}. Give one above 1023 with --port N.`;
  return `The dashboard could not start: ${error instanceof Error ? error.message : String(error)}`;
}

/** Best effort: the address stands on the terminal for whoever has no browser here. */
function openBrowser(url: string): void {
  const [command, ...args] =
    process.platform === "darwin"
      ? ["open", url]
      : process.platform === "win32"
        ? ["cmd", "/c", "start", "", url]
        : ["xdg-open", url];
  if (command === undefined) return;
  const child = spawn(command, args, { stdio: "ignore", detached: true });
  child.on("error", () => undefined);
  child.unref();
}
