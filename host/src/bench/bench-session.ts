import type { Push } from "@pinwalk/firmware-protocol/bench-line.js";
import type { Side } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { BenchError, isBenchError } from "./bench-error.js";
import type { BenchIdentity } from "./bench-identity.js";
import { BenchLink, type LinkCounts } from "./bench-link.js";
import type { BenchProblem } from "./bench-problem.js";
import { type BenchLimits, type BenchRoles, greet, putInForce, restart } from "./bench-setup.js";
import { type BenchStatus, statusOf } from "./bench-status.js";
import { DriveWatch } from "./drive-watch.js";
import {
  type ChannelVolts,
  channelVoltsOf,
  type DriveMeasurement,
  driveMeasurementOf,
  isOrderlyEnd,
  type LowMeasurement,
  type RestMeasurement,
  type TracePoint,
  unitsOf,
} from "./measurements.js";
import type { BenchPort } from "./port.js";

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
    await this.orOff(() => putInForce(this.link, limits, { used, senseOnly, ground }));
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

  /** All channels with everything off. */
  async rest(): Promise<RestMeasurement> {
    const { measurement, supply } = await this.orOff(() => this.link.request("rest", {}, { timeoutMs: slowTimeoutMs }));
    return { measurement, supplyVolts: unitsOf(supply), ...(await this.orOff(() => this.allVolts(measurement))) };
  }

  /** Low-current check of one channel. Needs the bench armed. */
  async low(channel: number): Promise<LowMeasurement> {
    return await this.orOff(async () => {
      const { measurement } = await this.link.request("low", { channel }, { timeoutMs: slowTimeoutMs });
      return { measurement, ...(await this.allVolts(measurement)) };
    });
  }

  /** Drives one channel until its current has settled. Needs the bench armed. Every end is a value, trips too. */
  async drive(channel: number, options: DriveOptions): Promise<DriveMeasurement> {
    return await this.orOff(async () => {
      const watch = new DriveWatch(this.link, options.onTrace);
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
    const watch = new DriveWatch(this.link, onTrace);
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

  /** A person is still looking at the held lamp. Does nothing when none is held. */
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

  async status(): Promise<BenchStatus> {
    return statusOf(await this.link.request("status", {}));
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

  private async endOf(watch: DriveWatch, measurement: number, mostMs: number | undefined): Promise<DriveMeasurement> {
    const result = await watch.resultOf(measurement, mostMs);
    if (this.held === measurement) this.held = undefined;
    const voltages = await this.allVolts(measurement);
    if (!isOrderlyEnd(result.end)) await this.learnState();
    return driveMeasurementOf(result, voltages);
  }

  private async allVolts(measurement: number): Promise<{ volts: ChannelVolts; farVolts?: ChannelVolts }> {
    const volts = await this.voltsOf(measurement, "near");
    return this.far ? { volts, farVolts: await this.voltsOf(measurement, "far") } : { volts };
  }

  private async voltsOf(measurement: number, side: Side): Promise<ChannelVolts> {
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
