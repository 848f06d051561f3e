import { baud } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { type FoundBench, findBenches } from "../bench/discovery.js";
import type { BenchPort } from "../bench/port.js";
import { openSerialPort } from "../bench/serial-port.js";
import { openVirtualBench, type VirtualBench } from "../bench/virtual/virtual-bench.js";
import type { Fault } from "../plan/fault.js";
import type { Plan } from "../plan/plan-schema.js";
import type { BenchView } from "./contract.js";

/** Where benches come from. */
export interface BenchSource {
  /** Those that are there without searching. */
  readonly always: readonly BenchView[];
  /** Asks every serial port; slow, as a board may reset when its port is opened. */
  search(): Promise<readonly BenchView[]>;
  /** Opens a bench; a virtual one gets this vehicle on its connector, a real one has its own. */
  open(
    bench: BenchView,
    vehicle: { readonly plan: Plan; readonly faults: readonly Fault[] },
  ): Promise<BenchPort | VirtualBench>;
}

const virtualBench: BenchView = {
  id: "virtual",
  kind: "virtual",
  name: "Virtual bench",
  path: "virtual",
  state: "ready",
  detail: "No hardware: the bench's own firmware, emulated, with a simulated vehicle on its connector.",
};

/** The benches of this machine: the virtual one always, real ones on the serial ports. `pace` is the virtual one's. */
export function machineBenches(pace: "real" | "fast"): BenchSource {
  return {
    always: [virtualBench],
    search: async () => (await findBenches()).map(serialView),
    open: async (bench, vehicle) =>
      bench.kind === "virtual" ? openVirtualBench({ ...vehicle, pace }) : openSerialPort(bench.path, { baud }),
  };
}

/** What a person reads about a port that was asked. */
export function serialView(found: FoundBench): BenchView {
  const { path, device } = found;
  const base = { id: `serial:${path}`, kind: "serial", path } as const;
  const where = device === undefined ? path : `${path}, ${device}`;
  switch (found.kind) {
    case "bench": {
      const { serial, firmware, calibratedAt } = found.identity;
      const calibration = calibratedAt === undefined ? "not calibrated" : `calibrated ${calibratedAt}`;
      const name = serial === "-" ? "Bench without a serial number" : `Bench ${serial}`;
      return { ...base, state: "ready", name, detail: `${where}, firmware ${firmware}, ${calibration}` };
    }
    case "not-a-bench":
    case "busy":
    case "other-protocol":
      return { ...base, state: found.kind, name: where, detail: found.message };
    case "cannot-open":
      return { ...base, state: "unreachable", name: where, detail: found.message };
  }
}
