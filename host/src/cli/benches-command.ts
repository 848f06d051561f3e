import { Command } from "commander";
import { type FoundBench, findBenches } from "../bench/discovery.js";
import { dueDate } from "../procedures/calibration/calibration-document.js";
import { exitCodes } from "./exit-code.js";
import type { Terminal } from "./terminal.js";

/** One line about a port that was asked. */
export function foundBenchText(found: FoundBench): string {
  if (found.kind !== "bench") return found.message;
  const { serial, firmware, calibratedAt } = found.identity;
  const due = calibratedAt === undefined ? undefined : dueDate(calibratedAt);
  const again = due === undefined ? "" : `, due again ${due}`;
  const calibration = calibratedAt === undefined ? "never calibrated" : `calibrated ${calibratedAt}${again}`;
  return `${found.path}  bench ${serial}, firmware ${firmware}, ${calibration}`;
}

/** `pinwalk benches`: which serial ports have a bench behind them. Asks each port and drives nothing. */
export function benchesCommand(terminal: Terminal): Command {
  return new Command("benches")
    .description("List the benches on this machine's serial ports. Ends with 3 when none can be used.")
    .option("--port <PATH...>", "ask these ports only")
    .option("--json", "print one document")
    .addHelpText("after", "\nExample:\n  pinwalk benches --port /dev/ttyUSB0")
    .action(async ({ port, json }: { port?: string[]; json?: boolean }) => {
      const found = await findBenches(port === undefined ? {} : { paths: port });
      if (json) terminal.out(JSON.stringify({ format: "pinwalk-benches/1", benches: found }, null, 2));
      else for (const bench of found) terminal.out(foundBenchText(bench));
      const usable = found.some(({ kind }) => kind === "bench");
      if (!usable)
        terminal.err(
          "No bench was found. Connect one and switch its supply on; the emulated one is always there as --bench virtual.",
        );
      terminal.exitWith(usable ? exitCodes.pass : exitCodes.couldNotTest);
    });
}
