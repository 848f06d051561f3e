import { baud } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { findBenches } from "../bench/discovery.js";
import type { BenchPort } from "../bench/port.js";
import { openSerialPort } from "../bench/serial-port.js";
import type { PlayedPin } from "../bench/virtual/vehicle/played-signal.js";
import { openVirtualBench } from "../bench/virtual/virtual-bench.js";
import type { PartsLibrary } from "../plan/parts/parts-library.js";
import type { Plan } from "../plan/plan-schema.js";
import { foundBenchText } from "./benches-command.js";
import { couldNotTest, wrongUse } from "./command-failure.js";
import { readFaults } from "./fault-option.js";

/** What was said on the command line about the bench. */
export interface BenchOptions {
  readonly bench?: string;
  readonly fault?: readonly string[];
  readonly fast?: boolean;
  readonly seed?: number;
}

/** A bench that can be opened. A real one drives real wires, so the person is asked first. */
export interface ChosenBench {
  readonly real: boolean;
  readonly open: () => Promise<BenchPort>;
}

/** The name of the emulated bench on the command line. */
export const virtualBenchName = "virtual";

/**
 * Finds the bench that the options mean; on the emulated one an outlet takes the vehicle's place where something is played.
 * Without `--bench` it must be the only one on this machine. Throws a wrong-use
 * failure for options that do not go together, and a could-not-test failure when no bench is there.
 */
export async function chooseBench(
  plan: Plan | undefined,
  options: BenchOptions,
  library?: PartsLibrary,
  played: readonly PlayedPin[] = [],
): Promise<ChosenBench> {
  if (options.bench === virtualBenchName) {
    if (plan === undefined) throw wrongUse("The emulated bench needs a plan: what shall be plugged into it?");
    const faults = readFaults(options.fault ?? [], plan, library);
    const pace = options.fast ? "fast" : "real";
    const parts = library === undefined ? {} : { library };
    const seed = options.seed === undefined ? {} : { seed: options.seed };
    const open = async (): Promise<BenchPort> => {
      const bench = await openVirtualBench({ plan, faults, pace, ...seed, ...parts });
      if (played.length > 0) await bench.plugOutlet({ pins: played });
      return bench;
    };
    return { real: false, open };
  }
  for (const [name, given] of [
    ["--fault", (options.fault ?? []).length > 0],
    ["--fast", options.fast === true],
    ["--seed", options.seed !== undefined],
    ["--play", played.length > 0],
  ] as const) {
    if (given) throw wrongUse(`${name} is for the emulated bench alone. Say --bench ${virtualBenchName} with it.`);
  }
  const path = options.bench ?? (await onlyBench());
  return { real: true, open: () => openSerialPort(path, { baud }) };
}

async function onlyBench(): Promise<string> {
  const found = await findBenches();
  const [first, ...others] = found.filter(({ kind }) => kind === "bench");
  if (first !== undefined && others.length === 0) return first.path;
  if (first !== undefined) {
    const names = [first, ...others].map((bench) => `  --bench ${bench.path}`);
    throw wrongUse(["There are several benches. Say which:", ...names].join("\n"));
  }
  throw couldNotTest(
    [
      "No bench was found on this machine.",
      ...found.map((port) => `  ${foundBenchText(port)}`),
      `Connect one and switch its supply on, or try the emulated one with --bench ${virtualBenchName}.`,
    ].join("\n"),
  );
}
