import { openVirtualBench } from "@pinwalk/host/bench/virtual/virtual-bench.js";
import { machineWithPorts } from "./bench-on-a-port.js";

/** Benches in real time, so that there is something to look at, and to stop. */
export function slowBenches(): ReturnType<typeof machineWithPorts> {
  return {
    ...machineWithPorts(),
    open: (_bench, vehicle) => openVirtualBench({ ...vehicle, pace: "real" }),
  };
}
