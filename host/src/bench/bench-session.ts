import type { Push } from "@pinwalk/firmware-protocol/bench-line.js";
import type { Side } from "@pinwalk/firmware-protocol/generated/protocol.js";
import {
  type BenchCalibration,
  readCalibration,
  readUncertainty,
  type StatedUncertainty,
  stageCalibration,
  storeConstants,
} from "./bench-calibration.js";
import { BenchError, isBenchError } from "./bench-error.js";
import { type BenchIdentity, identityOf } from "./bench-identity.js";
import { BenchLink, type LinkCounts } from "./bench-link.js";
import type { BenchProblem } from "./bench-problem.js";
import { type BenchLimits, type BenchRoles, greet, putInForce, restart } from "./bench-setup.js";
import { type BenchStatus, statusOf } from "./bench-status.js";
import {
  type ChannelVolts,
  channelVoltsOf,
  type DriveMeasurement,
  driveMeasurementOf,
  isOrderlyEnd,
  type LowMeasurement,
  type RestMeasurement,
  type TracePoint,
  tracePointOf,
  unitsOf,
} from "./measurements.js";
import type { BenchPort } from "./port.js";
import { RunningMeasurement } from "./running-measurement.js";
import { type SelfCheck, selfCheckOf } from "./self-check.js";
import { ToldVolts } from "./told-volts.js";
import {
  type Watch,
  type WatchOptions,
  type WatchSummary,
  watchBlockOf,
  watchGapOf,
  watchSummaryOf,
} from "./watch-values.js";

/** Requests that measure or switch the relay answer when they are done, and are not repeated: time enough for either. */
const slowTimeoutMs = 1500;

export interface BenchSetup extends BenchRoles {
  readonly limits?: BenchLimits;
  /** Whether the far side is plugged in, and its voltages are fetched with every measurement. */
  readonly far?: boolean;
}

export interface DriveOptions {
  /** Milliseconds after which the drive ends even if the current has not settled, 10 to 10000. */
  readonly mostMs: number;
  readonly onTrace?: (point: TracePoint) => void;
}

export interface Hold {
  readonly measurement: number;
  /** Settles when the light is out, for whatever reason; rejects when the bench is lost. */
  readonly ended: Promise<DriveMeasurement>;
}

/**
 * A conversation with one bench. What fails throws a BenchError, and not before `off` was tried: after any throw of a method that
 * touches outputs the bench is off and must be armed again, or it is lost and turns itself off within a second.
 */
export class BenchSession {
  private isArmed = false;
  private offConfirmed = true;
  private far = false;
  private held: number | undefined;
  private readonly told = new ToldVolts();

  private constructor(
    readonly port: BenchPort,
    private readonly link: BenchLink,
    private who: BenchIdentity,
  ) {
    link.onPush((push) => this.take(push));
    link.onEnded(() => this.disarmed());
  }

  /** Waits for a bench to answer, then turns it off. Throws `not-a-bench`, `other-protocol` or `port-lost`, the port closed. */
  static async open(port: BenchPort, options: { readonly helloAttempts?: number } = {}): Promise<BenchSession> {
    const link = new BenchLink(port);
    try {
      const identity = await greet(link, options.helloAttempts);
      await link.request("off", {});
      return new BenchSession(port, link, identity);
    } catch (error) {
      const { bytesHeard } = link.counts;
      await link.close();
      if (!isBenchError(error, "no-answer")) throw error;
      throw new BenchError({ code: "not-a-bench", path: port.path, heardBytes: bytesHeard }, { cause: error });
    }
  }

  get identity(): BenchIdentity {
    return this.who;
  }

  get counts(): LinkCounts {
    return this.link.counts;
  }

  /** Whether the relay is closed, as far as the bench has said. */
  get armed(): boolean {
    return this.isArmed;
  }

  /** Whether the bench itself has said that everything is off since it was last armed. */
  get offIsConfirmed(): boolean {
    return this.offConfirmed;
  }

  /** Puts limits and channel roles in force; restarts the bench if marks of an earlier job still stick. Everything is off then. */
  async configure(setup: BenchSetup): Promise<void> {
    const { limits = {}, far = false, used, senseOnly, ground } = setup;
    await this.off();
    await this.orOff(() => putInForce(this.link, limits, { used, senseOnly, ground }, far));
    this.far = far;
  }

  /** Closes the relay. Refused as `stuck`, `live`, `supply`, `latched`, `no-roles`. Gives the supply's volts. */
  async arm(): Promise<number> {
    this.offConfirmed = false;
    const { supply } = await this.orOff(() => this.link.request("arm", {}, { timeoutMs: slowTimeoutMs }));
    // Again: word of an earlier off may have come in before the reply.
    this.offConfirmed = false;
    this.isArmed = true;
    this.link.setKeepAlive(true);
    return unitsOf(supply);
  }

  /** The used channels with everything off. */
  async rest(): Promise<RestMeasurement> {
    this.told.forget();
    const { measurement, supply } = await this.orOff(() => this.link.request("rest", {}, { timeoutMs: slowTimeoutMs }));
    return { measurement, supplyVolts: unitsOf(supply), ...(await this.orOff(() => this.allVolts(measurement))) };
  }

  /** Low-current check of one channel. Needs the bench armed. */
  async low(channel: number): Promise<LowMeasurement> {
    this.told.forget();
    return await this.orOff(async () => {
      const { measurement } = await this.link.request("low", { channel }, { timeoutMs: slowTimeoutMs });
      return { measurement, ...(await this.allVolts(measurement)) };
    });
  }

  /** Drives one channel until its current has settled. Needs the bench armed. Every end is a value, trips too. */
  async drive(channel: number, options: DriveOptions): Promise<DriveMeasurement> {
    this.told.forget();
    return await this.orOff(async () => {
      const watch = this.followTrace(options.onTrace);
      try {
        const { measurement } = await this.link.request("drive", { channel, most: options.mostMs });
        return await this.endOf(watch, measurement, options.mostMs);
      } finally {
        watch.stop();
      }
    });
  }

  /** Drives one channel for a person to look at, until `off`, or ten seconds after the last `keep`. Needs the bench armed. */
  async hold(channel: number, onTrace?: (point: TracePoint) => void): Promise<Hold> {
    this.told.forget();
    const watch = this.followTrace(onTrace);
    try {
      const { measurement } = await this.orOff(() => this.link.request("hold", { channel }));
      this.held = measurement;
      const ended = this.orOff(() => this.endOf(watch, measurement, undefined)).finally(() => watch.stop());
      // Whoever does not wait for the end hears of a lost bench from whatever is asked next.
      ended.catch(() => undefined);
      return { measurement, ended };
    } catch (error) {
      watch.stop();
      throw error;
    }
  }

  /**
   * Streams windows and interruptions of one channel until `off`, or ten seconds after the last `keep`. Modes `drive` and `low` need
   * the bench armed; `listen` drives nothing and does not. Refused as a drive is.
   */
  async watch(channel: number, options: WatchOptions): Promise<Watch> {
    const { mode, what, below, onBlock, onGap } = options;
    const running = new RunningMeasurement(this.link, (push) => {
      if (push.name === "windows") onBlock?.(watchBlockOf(push.fields));
      else if (push.name === "gap") onGap?.(watchGapOf(push.fields));
    });
    try {
      const asked = { channel, mode, what, below: Math.round(below * 1000) };
      const { measurement } = await this.orOff(() => this.link.request("watch", asked));
      this.held = measurement;
      // A watch that only listens ends at silence too.
      this.link.setKeepAlive(true);
      const ended = this.orOff(() => this.watchEnd(running, measurement)).finally(() => running.stop());
      ended.catch(() => undefined);
      return { measurement, ended };
    } catch (error) {
      running.stop();
      throw error;
    }
  }

  /** A person is still looking at the held lamp, or a host following the watch. Does nothing when there is none. */
  async keep(): Promise<void> {
    const measurement = this.held;
    if (measurement === undefined) return;
    await this.orOff(() => this.link.request("keep", { measurement }));
  }

  /**
   * Everything off, relay open; overtakes whatever waits. When this resolves, the bench has said so. When it rejects, nothing more is
   * sent, and the bench falls to its own silence limit.
   */
  async off(): Promise<void> {
    this.disarmed();
    await this.link.request("off", {});
    this.offConfirmed = true;
  }

  /** A bench that does not answer while it may be on is turned off, as after any other question. */
  async status(): Promise<BenchStatus> {
    const ask = async () => statusOf(await this.link.request("status", {}));
    return this.offConfirmed ? await ask() : await this.orOff(ask);
  }

  /** Clears the hardware latch; everything is off and must be armed again. */
  async clear(): Promise<void> {
    this.disarmed();
    await this.orOff(() => this.link.request("clear", {}));
  }

  /** Everything off, then a reset: configuration and marks are gone. */
  async restart(): Promise<void> {
    this.disarmed();
    this.who = await this.orOff(() => restart(this.link));
    this.offConfirmed = true;
  }

  /** What the bench can say of itself with everything off. Refused as `busy` while armed. */
  async selfCheck(): Promise<SelfCheck> {
    return selfCheckOf(await this.link.request("check", {}, { timeoutMs: slowTimeoutMs }));
  }

  /** The constants in force. */
  async calibration(): Promise<BenchCalibration> {
    return await readCalibration(this.link);
  }

  /** What a calibrated bench states of its own readings; undefined where it was never told, or is not calibrated. */
  async statedUncertainty(): Promise<StatedUncertainty | undefined> {
    return this.who.calibratedAt === undefined ? undefined : await readUncertainty(this.link);
  }

  /**
   * Puts constants in force, until the next reset or `store`; `identity` has no date meanwhile. Refused as `busy` while armed and as
   * `range` for what no bench of this design would need (PROTOCOL.md); throws `not-taken` when the bench says otherwise.
   */
  async stage(calibration: BenchCalibration): Promise<void> {
    try {
      await stageCalibration(this.link, calibration);
    } finally {
      await this.askIdentity();
    }
  }

  /** Gives the bench its serial number: 1 to 16 of `A–Z a–z 0–9 . -`. For good with `store`. */
  async setSerial(serial: string): Promise<void> {
    await this.link.request("serial", { serial });
    await this.askIdentity();
  }

  /** Writes what is in force into the bench, under this date (YYYY-MM-DD). Gives the revision. Refused as `not-stored`. */
  async store(date: string): Promise<number> {
    const revision = await storeConstants(this.link, date);
    await this.askIdentity();
    return revision;
  }

  /** Called once when the bench is lost, closed or turns out to be another; returns how to stop. */
  onLost(listener: (problem: BenchProblem) => void): () => void {
    return this.link.onEnded(listener);
  }

  /** The bench's start button; returns how to stop. */
  onButton(listener: () => void): () => void {
    return this.link.onPush((push) => {
      if (push.name === "button") listener();
    });
  }

  /** Turns everything off if need be and frees the port. Idempotent, never throws. */
  async close(): Promise<void> {
    if (!this.offConfirmed) await this.tryOff();
    await this.link.close().catch(() => undefined);
  }

  private async endOf(
    watch: RunningMeasurement,
    measurement: number,
    mostMs: number | undefined,
  ): Promise<DriveMeasurement> {
    const result = await watch.resultOf("result", measurement, mostMs);
    if (this.held === measurement) this.held = undefined;
    const voltages = await this.allVolts(measurement);
    if (!isOrderlyEnd(result.end)) await this.learnState();
    return driveMeasurementOf(result, voltages);
  }

  private async watchEnd(running: RunningMeasurement, measurement: number): Promise<WatchSummary> {
    const summary = watchSummaryOf(await running.resultOf("watched", measurement, undefined));
    if (this.held === measurement) this.held = undefined;
    if (this.isArmed) await this.learnState();
    else this.link.setKeepAlive(false);
    return summary;
  }

  private followTrace(onTrace: ((point: TracePoint) => void) | undefined): RunningMeasurement {
    return new RunningMeasurement(this.link, (push) => {
      if (push.name === "trace") onTrace?.(tracePointOf(push.fields));
    });
  }

  private async askIdentity(): Promise<void> {
    this.who = identityOf(await this.link.request("hello", {}));
  }

  private async allVolts(measurement: number): Promise<{ volts: ChannelVolts; farVolts?: ChannelVolts }> {
    const volts = await this.voltsOf(measurement, "near");
    return this.far ? { volts, farVolts: await this.voltsOf(measurement, "far") } : { volts };
  }

  private async voltsOf(measurement: number, side: Side): Promise<ChannelVolts> {
    const told = this.told.of(measurement, side);
    if (told !== undefined) return told;
    const reply = await this.link.request("volts", { measurement, side });
    if (reply.measurement === measurement && reply.side === side) return channelVoltsOf(reply.volts);
    throw new BenchError({ code: "wrong-measurement", asked: measurement, answered: reply.measurement });
  }

  /** After an end that was not orderly only the bench knows whether its relay is still closed. */
  private async learnState(): Promise<void> {
    const { state } = await this.link.request("status", {});
    if (state === "armed" || state === "driving") return;
    this.disarmed();
    this.offConfirmed = true;
  }

  private take(push: Push): void {
    this.told.take(push);
    if (push.name !== "off" && push.name !== "hello") return;
    this.disarmed();
    this.offConfirmed = true;
  }

  private disarmed(): void {
    this.isArmed = false;
    this.held = undefined;
    this.link.setKeepAlive(false);
  }

  private async orOff<Result>(work: () => Promise<Result>): Promise<Result> {
    try {
      return await work();
    } catch (error) {
      await this.tryOff();
      throw error;
    }
  }

  /** What went wrong before is what the caller has to hear; an `off` that fails too leaves the bench to its own silence. */
  private async tryOff(): Promise<void> {
    await this.off().catch(() => undefined);
  }
}
