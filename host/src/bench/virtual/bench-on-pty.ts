import { unsealLine } from "@pinwalk/firmware-protocol/line-seal.js";
import { LineSplitter } from "@pinwalk/firmware-protocol/line-splitter.js";
import { openSerialPort } from "../serial-port.js";
import { BOARD } from "./board/board-values.js";
import { EmulatedBench } from "./emulated-bench.js";
import { readFirmwareImage } from "./firmware-image.js";
import type { OutputState } from "./output-log.js";
import { startRealPace } from "./pace/real-pace-loop.js";
import { checkedVehicle, type Vehicle } from "./vehicle/checked-vehicle.js";
import { simulatedVehicle } from "./vehicle/simulated-vehicle.js";

/** What is worth knowing from outside while a bench serves a line. All times are emulated milliseconds since power-up. */
export type PtyBenchEvent =
  | { readonly event: "ready"; readonly port: string }
  | ({ readonly event: "output" } & OutputState)
  /** A line with a good checksum has come; `atMs` is when its last byte reaches the controller. */
  | { readonly event: "valid-line"; readonly atMs: number }
  /** The line is gone; the bench goes on without it. */
  | { readonly event: "line-lost"; readonly atMs: number; readonly detail: string };

export interface PtyBenchOptions extends Vehicle {
  /** Path of an existing terminal device: one end of a pair of pseudo-terminals. */
  readonly port: string;
  readonly seed?: number;
  readonly supplyVolts?: number;
  readonly ambientC?: number;
  readonly report: (event: PtyBenchEvent) => void;
}

const LONGEST_LINE_BYTES = 1_024;
const CHARACTER_MS = 10_000 / BOARD.baud;

/**
 * Serves an emulated bench, in this thread and in real time, on a terminal device, so that host and bench are different processes.
 * The bench outlives its line, as a real one does: its outputs can be watched after the host has died. `stop` ends both.
 *
 * Rejects with `VirtualBenchError` as `openVirtualBench` does, and with what opening a serial port can fail with.
 */
export async function serveBenchOnPty(options: PtyBenchOptions): Promise<{ stop(): Promise<void> }> {
  const { report, ambientC = 20 } = options;
  const { plan, faults } = checkedVehicle(options);
  const vehicle = simulatedVehicle(plan, faults, ambientC);
  const bench = new EmulatedBench({
    imageHex: await readFirmwareImage(),
    side: vehicle.side,
    ambientC,
    ...(options.seed === undefined ? {} : { seed: options.seed }),
    ...(options.supplyVolts === undefined ? {} : { supplyVolts: options.supplyVolts }),
  });
  bench.outputs.onChange((state) => report({ event: "output", ...state }));

  const line = await openSerialPort(options.port, { baud: BOARD.baud });
  const loop = startRealPace(bench, () => {
    const bytes = bench.takeSent();
    if (bytes.length > 0) line.write(bytes);
    return bytes.length > 0 || bench.outputs.last.relayClosed;
  });
  const lines = new LineSplitter(LONGEST_LINE_BYTES);
  line.onBytes((bytes) => {
    loop.nudge();
    bench.send(bytes);
    const arrivesAtMs = bench.nowMs + bench.bytesWaiting * CHARACTER_MS;
    for (const one of lines.push(bytes)) {
      if (one.kind !== "line" || unsealLine(one.bytes).kind !== "text") continue;
      report({ event: "valid-line", atMs: arrivesAtMs });
    }
  });
  line.onClosed((why) => {
    if (why.kind === "lost") report({ event: "line-lost", atMs: bench.nowMs, detail: why.detail });
  });
  report({ event: "ready", port: options.port });
  return {
    stop: async () => {
      loop.stop();
      await line.close();
    },
  };
}
