import { openBareVirtualBench, openVirtualBench } from "@pinwalk/host/bench/virtual/virtual-bench.js";
import type { BenchSource } from "@pinwalk/host/server/bench-source.js";
import type { BenchView } from "@pinwalk/host/server/contract.js";

export const benchOnAPort: BenchView = {
  id: "serial:/dev/ttyUSB7",
  kind: "serial",
  name: "Bench 0007",
  path: "/dev/ttyUSB7",
  state: "ready",
  detail: "/dev/ttyUSB7, firmware 1.0.0, not calibrated",
};

export const strangerOnAPort: BenchView = {
  id: "serial:/dev/ttyACM3",
  kind: "serial",
  name: "/dev/ttyACM3",
  path: "/dev/ttyACM3",
  state: "not-a-bench",
  detail: "What answers at /dev/ttyACM3 is not a bench.",
};

/** A machine with a bench on one port, which is emulated, and a stranger on another. */
export function machineWithPorts(): BenchSource {
  const virtual: BenchView = {
    ...benchOnAPort,
    id: "virtual",
    kind: "virtual",
    name: "Virtual bench",
    path: "virtual",
  };
  return {
    always: [virtual],
    search: async () => [benchOnAPort, strangerOnAPort],
    open: (_bench, vehicle) => openVirtualBench({ ...vehicle, pace: "fast" }),
    openBare: () => openBareVirtualBench({ pace: "fast" }),
  };
}
