import { type MessagePort, parentPort, workerData } from "node:worker_threads";
import { EmulatedBench } from "../emulated-bench.js";
import type { OutputState } from "../output-log.js";
import { type BenchFixture, fixtureOnBench } from "../vehicle/bench-fixture.js";
import type { CheckedVehicle } from "../vehicle/checked-vehicle.js";
import { LooseContact } from "../vehicle/loose-contact.js";
import { SimulatedOutlet } from "../vehicle/simulated-outlet.js";
import { simulatedVehicle } from "../vehicle/simulated-vehicle.js";
import { isVirtualBenchError, VirtualBenchError } from "../virtual-bench-error.js";
import { startRealPace } from "./real-pace-loop.js";
import type { BenchChange, FromWorker, ToWorker, WorkerStart } from "./worker-messages.js";

/** Longest that the host goes without hearing how far time has come in real pace. */
const REPORT_EVERY_MS = 20;

/** The emulated bench behind a message port: the whole of the worker thread. */
class WorkerBench {
  readonly #port: MessagePort;
  readonly #start: WorkerStart;
  readonly #bench: EmulatedBench;
  #plugged: CheckedVehicle | BenchFixture;
  #vehicle: ReturnType<typeof simulatedVehicle>;
  #outputs: OutputState[] = [];

  constructor(port: MessagePort, start: WorkerStart) {
    this.#port = port;
    this.#start = start;
    this.#plugged = start.vehicle;
    this.#vehicle = this.#built(start.vehicle);
    this.#bench = new EmulatedBench({ ...start, side: this.#vehicle.side });
    this.#bench.outputs.onChange((state) => this.#outputs.push(state));
  }

  serve(): void {
    this.#post({ kind: "opened" });
    if (this.#start.pace === "fast") this.#serveLockStep();
    else this.#serveRealPace();
  }

  #serveLockStep(): void {
    this.#port.on("message", (message: ToWorker) => {
      if (message.kind !== "go") return this.#answer(message);
      this.#bench.send(message.bytes);
      this.#bench.runUntilLine(message.untilMs);
      this.#report(this.#bench.takeSent());
    });
  }

  #serveRealPace(): void {
    let reportedAt = 0;
    const afterSlice = () => {
      const bytes = this.#bench.takeSent();
      const news = bytes.length > 0 || this.#outputs.length > 0;
      const wallMs = performance.now();
      if (news || wallMs - reportedAt >= REPORT_EVERY_MS) {
        reportedAt = wallMs;
        this.#report(bytes);
      }
      return news || this.#bench.outputs.last.relayClosed;
    };
    const loop = startRealPace(this.#bench, afterSlice);
    this.#port.on("message", (message: ToWorker) => {
      loop.nudge();
      if (message.kind === "bytes") this.#bench.send(message.bytes);
      else this.#answer(message);
    });
  }

  #answer(message: ToWorker): void {
    if (message.kind === "look") {
      const { nowMs, outputs, eeprom } = this.#bench;
      const { side, lampVolts, plugVolts } = this.#vehicle;
      const seconds = nowMs / 1000;
      const view = {
        nowMs,
        outputs: outputs.last,
        lampVolts: lampVolts(seconds),
        eeprom,
        supplyVolts: side.supplyVolts(seconds),
        ...(plugVolts === undefined ? {} : { plugVolts: plugVolts(seconds) }),
      };
      this.#post({ kind: "seen", ticket: message.ticket, view });
    } else if (message.kind === "change") {
      const { ticket } = message;
      try {
        this.#apply(message.change);
        this.#post({ kind: "done", ticket });
      } catch (cause) {
        if (!isVirtualBenchError(cause)) throw cause;
        this.#post({ kind: "not-done", ticket, code: cause.code, message: cause.message });
      }
    }
  }

  #apply(change: BenchChange): void {
    const bench = this.#bench;
    switch (change.what) {
      case "vehicle":
        this.#vehicle = this.#built(change.vehicle);
        this.#plugged = change.vehicle;
        bench.plugIn(this.#vehicle.side);
        break;
      case "fixture":
        this.#vehicle = this.#built(change.fixture);
        this.#plugged = change.fixture;
        bench.plugIn(this.#vehicle.side);
        break;
      case "loose-contact": {
        const plugged = this.#plugged;
        if ("kind" in plugged)
          throw new VirtualBenchError("bad-fault", "Nothing with a contact to move is plugged in.");
        const { plan, faults, library } = plugged;
        const loose = this.#built({ plan, faults: [...faults, change.fault], library });
        const now = bench.nowMs / 1000;
        const times = change.spells.map(({ afterMs, lengthMs }) => ({
          fromSeconds: now + afterMs / 1000,
          toSeconds: now + (afterMs + lengthMs) / 1000,
        }));
        bench.plugIn(new LooseContact(this.#vehicle.side, loose.side, times));
        break;
      }
      case "own-functions":
        this.#vehicle.switchOwn(change.functions, bench.nowMs / 1000);
        bench.plugIn(this.#vehicle.side);
        break;
      case "own-signals":
        this.#vehicle.playOwn(change.functions, bench.nowMs / 1000);
        bench.plugIn(this.#vehicle.side);
        break;
      case "outlet": {
        const plugged = this.#plugged;
        if (change.outlet === undefined) bench.plugIn(this.#vehicle.side);
        else if ("kind" in plugged)
          throw new VirtualBenchError("bad-setting", "An outlet needs a plan, whose connector it has.");
        else bench.plugIn(new SimulatedOutlet(plugged.plan, change.outlet, bench.nowMs / 1000));
        break;
      }
      case "start-button":
        bench.pressStart(change.pressed);
        break;
      case "stop-button":
        bench.pressStop(change.pressed);
        break;
      case "supply":
        bench.setSupply(change.volts);
        break;
      case "stuck-channels":
        bench.setStuckChannels(change.mask);
        break;
      case "reset":
        bench.reset(change.cause);
        break;
    }
  }

  #built(plugged: CheckedVehicle | BenchFixture): ReturnType<typeof simulatedVehicle> {
    const { ambientC, frontEndErrors } = this.#start;
    const lowSource = frontEndErrors?.lowSource;
    if ("kind" in plugged) return fixtureOnBench(plugged, lowSource);
    const { plan, faults, library } = plugged;
    return simulatedVehicle(plan, faults, ambientC, { library, ...(lowSource === undefined ? {} : { lowSource }) });
  }

  #report(bytes: Uint8Array): void {
    const outputs = this.#outputs;
    this.#outputs = [];
    this.#post({ kind: "advanced", nowMs: this.#bench.nowMs, bytes, outputs });
  }

  #post(message: FromWorker): void {
    this.#port.postMessage(message);
  }
}

/** Builds the bench, or tells the host why it cannot be built. What goes wrong later ends the thread, and so the port. */
function openedBench(port: MessagePort, start: WorkerStart): WorkerBench | undefined {
  try {
    return new WorkerBench(port, start);
  } catch (cause) {
    if (!isVirtualBenchError(cause)) throw cause;
    port.postMessage({ kind: "failed", code: cause.code, message: cause.message } satisfies FromWorker);
    port.close();
    return undefined;
  }
}

if (parentPort !== null) openedBench(parentPort, workerData as WorkerStart)?.serve();
