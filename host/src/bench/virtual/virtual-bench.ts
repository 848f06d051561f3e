import { Worker } from "node:worker_threads";
import type { FrontEndErrors } from "./board/front-end-errors.js";
import { ATMEGA328P } from "./chip/atmega328p.js";
import { parseHexImage } from "./chip/hex-image.js";
import { readFirmwareImage } from "./firmware-image.js";
import { LockStepPort } from "./pace/lock-step-port.js";
import { RealPacePort } from "./pace/real-pace-port.js";
import type { FromWorker, WorkerStart } from "./pace/worker-messages.js";
import { checkedVehicle, type Vehicle } from "./vehicle/checked-vehicle.js";
import type { VirtualBench } from "./virtual-bench-controls.js";
import { VirtualBenchError } from "./virtual-bench-error.js";

export type { VirtualBench } from "./virtual-bench-controls.js";

export interface VirtualBenchOptions extends Vehicle {
  /** "real": emulated time is wall time. "fast": as fast as the machine can, host and bench in lock-step. */
  readonly pace: "real" | "fast";
  /** Start of the random numbers of noise. Default 1. */
  readonly seed?: number;
  /** Supply before any load. Default 12.8 V. */
  readonly supplyVolts?: number;
  /** Default 20 °C. */
  readonly ambientC?: number;
  /** Path of another firmware image than the committed one. */
  readonly image?: string;
  /** Contents of the EEPROM (calibration); erased if absent. */
  readonly eeprom?: Uint8Array;
  /** How the board differs from its design (`seededFrontEndErrors`); not at all if absent. */
  readonly frontEndErrors?: FrontEndErrors;
}

/**
 * Starts a virtual bench; resolves when it has power and emulated time can pass.
 *
 * Rejects with `VirtualBenchError`: `bad-image`, `bad-plan` (unknown key, no such bulb, …), `bad-fault` (a place that the
 * plan does not have), `bad-setting` (a supply or seed out of range), `unsolvable`.
 */
export async function openVirtualBench(options: VirtualBenchOptions): Promise<VirtualBench> {
  return await open(options, checkedVehicle(options));
}

/** The same with nothing on its connectors. */
export async function openBareVirtualBench(options: Omit<VirtualBenchOptions, keyof Vehicle>): Promise<VirtualBench> {
  return await open(options, { kind: "nothing" });
}

async function open(
  options: Omit<VirtualBenchOptions, keyof Vehicle>,
  vehicle: WorkerStart["vehicle"],
): Promise<VirtualBench> {
  const { supplyVolts = 12.8, ambientC = 20, seed = 1 } = options;
  checkRange("supplyVolts", supplyVolts, 0, 40);
  checkRange("ambientC", ambientC, -40, 85);
  checkRange("seed", seed, 0, 0xffffffff);
  const imageHex = await readFirmwareImage(options.image);
  parseHexImage(imageHex, ATMEGA328P.flashBytes);
  const start: WorkerStart = {
    imageHex,
    vehicle,
    pace: options.pace,
    seed,
    supplyVolts,
    ambientC,
    ...(options.eeprom === undefined ? {} : { eeprom: options.eeprom }),
    ...(options.frontEndErrors === undefined ? {} : { frontEndErrors: options.frontEndErrors }),
  };
  return await startWorker(start);
}

function checkRange(name: string, value: number, least: number, most: number): void {
  if (value >= least && value <= most) return;
  throw new VirtualBenchError("bad-setting", `${name} must lie between ${least} and ${most}, not ${value}.`);
}

function startWorker(start: WorkerStart): Promise<VirtualBench> {
  const worker = new Worker(new URL("./pace/virtual-bench-worker.js", import.meta.url), { workerData: start });
  return new Promise((resolve, reject) => {
    worker.once("error", reject);
    worker.on("message", function first(message: FromWorker) {
      if (message.kind !== "opened" && message.kind !== "failed") return;
      worker.off("message", first);
      worker.off("error", reject);
      if (message.kind === "opened") {
        resolve(start.pace === "fast" ? new LockStepPort(worker) : new RealPacePort(worker));
      } else {
        void worker.terminate();
        reject(new VirtualBenchError(message.code, message.message));
      }
    });
  });
}
