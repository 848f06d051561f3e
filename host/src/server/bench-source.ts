import { baud } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { type FoundBench, findBenches } from "../bench/discovery.js";
import { loggedPort } from "../bench/logged-port.js";
import type { BenchPort } from "../bench/port.js";
import type { SerialLog } from "../bench/serial-log.js";
import { openSerialPort } from "../bench/serial-port.js";
import { openBareVirtualBench, openVirtualBench, type VirtualBench } from "../bench/virtual/virtual-bench.js";
import type { Fault } from "../plan/fault.js";
import type { PartsLibrary } from "../plan/parts/parts-library.js";
import type { Plan } from "../plan/plan-schema.js";
import { benchFacts } from "./bench-care/bench-facts.js";
import { VirtualBoard } from "./bench-care/virtual-board.js";
import type { BenchView } from "./contract.js";

/** Where benches come from. */
export interface BenchSource {
  /** Those that are there without searching. */
  readonly always: readonly BenchView[];
  /** Asks every serial port but these; slow, as a board may reset when its port is opened. */
  search(except?: ReadonlySet<string>): Promise<readonly BenchView[]>;
  /** Who else has it in use just now, in a sentence; undefined for nobody. */
  usedElsewhere?(bench: BenchView): string | undefined;
  /** Opens a bench; a virtual one gets this vehicle on its connector, a real one has its own. */
  open(
    bench: BenchView,
    vehicle: { readonly plan: Plan; readonly faults: readonly Fault[]; readonly library?: PartsLibrary },
  ): Promise<BenchPort | VirtualBench>;
  /** The board of the virtual one, where it can be replaced. */
  readonly board?: VirtualBoard;
  /** Opens a bench to look after it: a virtual one has nothing on its connectors. */
  openBare(bench: BenchView): Promise<BenchPort | VirtualBench>;
}

const virtualBench: BenchView = {
  id: "virtual",
  kind: "virtual",
  name: "Virtual bench",
  path: "virtual",
  state: "ready",
  detail: "No hardware: the bench's own firmware, emulated, with a simulated vehicle on its connector.",
};

/**
 * The benches of this machine: the virtual one always, real ones on the serial ports. `pace` is the virtual one's, whose memory
 * lasts as long as this. Every line goes into `log`.
 */
export function machineBenches(pace: "real" | "fast", log: SerialLog): BenchSource {
  const board = new VirtualBoard();
  const logged = <Port extends BenchPort>(port: Port) => loggedPort(port, port.path, log);
  const openReal = async (path: string) => logged(await openSerialPort(path, { baud }));
  return {
    always: [virtualBench],
    board,
    search: async (except) => {
      const found = await findBenches({
        inFull: true,
        openPort: openReal,
        ...(except === undefined ? {} : { except }),
      });
      return found.map((one) => serialView(one));
    },
    open: async (bench, vehicle) =>
      bench.kind === "virtual"
        ? logged(await board.open((memory) => openVirtualBench({ ...vehicle, pace, ...memory })))
        : openReal(bench.path),
    openBare: async (bench) =>
      bench.kind === "virtual"
        ? logged(await board.open((memory) => openBareVirtualBench({ pace, ...memory })))
        : openReal(bench.path),
  };
}

/** What a person reads about a port that was asked. */
export function serialView(found: FoundBench, today = new Date()): BenchView {
  const { path, device } = found;
  const base = { id: `serial:${path}`, kind: "serial", path } as const;
  const where = device === undefined ? path : `${path}, ${device}`;
  switch (found.kind) {
    case "bench": {
      const { serial, firmware, calibratedAt } = found.identity;
      const calibration = calibratedAt === undefined ? "not calibrated" : `calibrated ${calibratedAt}`;
      const name = serial === "-" ? "Bench without a serial number" : `Bench ${serial}`;
      const detail = `${where}, firmware ${firmware}, ${calibration}`;
      return { ...base, state: "ready", name, detail, facts: benchFacts(found, today) };
    }
    case "not-a-bench":
    case "busy":
    case "other-protocol":
      return { ...base, state: found.kind, name: where, detail: found.message };
    case "cannot-open":
      return { ...base, state: "unreachable", name: where, detail: found.message };
  }
}
