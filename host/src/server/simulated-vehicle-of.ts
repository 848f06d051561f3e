import type { BenchPort } from "../bench/port.js";
import type { VirtualBench } from "../bench/virtual/virtual-bench.js";
import type { BenchView } from "./contract.js";

/** The virtual bench behind a port, whose vehicle can be looked at and switched; undefined for a real one. */
export function simulatedVehicleOf(bench: BenchView, port: BenchPort | VirtualBench): VirtualBench | undefined {
  return bench.kind === "virtual" && "setOwnFunctions" in port ? port : undefined;
}
