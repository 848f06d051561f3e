import { readFile } from "node:fs/promises";
import { parseArgs } from "node:util";
import { type Fault, parseFault } from "../../plan/fault.js";
import { serveBenchOnPty } from "./bench-on-pty.js";

/**
 * An emulated bench as a process of its own:
 *
 *     node bench-on-pty-process.js --port PATH --plan FILE [--fault KIND@PLACE[=OHMS]]… [--supply VOLTS] [--seed N]
 *
 * Prints one JSON line per event; ends when it is told to (SIGTERM, SIGINT).
 */
const { values } = parseArgs({
  options: {
    port: { type: "string" },
    plan: { type: "string" },
    fault: { type: "string", multiple: true },
    supply: { type: "string" },
    seed: { type: "string" },
  },
});

try {
  if (values.port === undefined || values.plan === undefined) throw new Error("--port and --plan are needed");
  const serving = await serveBenchOnPty({
    port: values.port,
    plan: JSON.parse(await readFile(values.plan, "utf8")),
    faults: (values.fault ?? []).map(readFault),
    ...(values.supply === undefined ? {} : { supplyVolts: Number(values.supply) }),
    ...(values.seed === undefined ? {} : { seed: Number(values.seed) }),
    report: (event) => process.stdout.write(`${JSON.stringify(event)}\n`),
  });
  for (const signal of ["SIGTERM", "SIGINT"] as const) process.once(signal, () => void serving.stop());
} catch (error) {
  process.stderr.write(`${error instanceof Error ? error.message : String(error)}\n`);
  process.exitCode = 1;
}

function readFault(text: string): Fault {
  const read = parseFault(text);
  if (!read.ok) throw new Error(read.message);
  return read.fault;
}
