import { refusalOf } from "../bench/bench-error.js";
import { BenchSession, type Hold } from "../bench/bench-session.js";
import type { TracePoint } from "../bench/measurements.js";
import type { BenchPort } from "../bench/port.js";
import { type Adapter, adapterOf } from "../plan/adapter.js";
import type { Plan } from "../plan/plan-schema.js";
import type { Readings } from "../readings/readings.js";
import type { Judge } from "./judge.js";
import { requireBenchVoltage } from "./require-bench-voltage.js";
import type { WalkOutcome } from "./walk-events.js";
import { troubleOf } from "./walk-trouble.js";

class Cancelled extends Error {}

/** A bench while one procedure has it: opened, told the plan's channels, and given back with everything off. */
export class BenchVisit {
  readonly adapter: Adapter;
  readonly #plan: Plan;
  readonly #leaving = new AbortController();
  #port: BenchPort | undefined;
  #session: BenchSession | undefined;

  constructor(plan: Plan) {
    this.#plan = plan;
    this.adapter = adapterOf(plan);
  }

  get cancelled(): boolean {
    return this.#leaving.signal.aborted;
  }

  /** What this has measured is judged by `judge`, if it is not cancelled before. Never throws. */
  async judged(judge: Judge, readings: Readings): Promise<WalkOutcome> {
    try {
      return { kind: "judged", readings, findings: await judge(this.#plan, readings, this.#leaving.signal) };
    } catch (error) {
      return this.outcomeOf(error);
    }
  }

  /** Throws as a session does, and where the plan's voltage is none for the bench. */
  async open(port: BenchPort | (() => Promise<BenchPort>), tripAmps: number): Promise<BenchSession> {
    this.#port = typeof port === "function" ? await port() : port;
    requireBenchVoltage(this.#plan);
    this.stopIfCancelled();
    const session = await BenchSession.open(this.#port);
    this.#session = session;
    this.stopIfCancelled();
    const { usedMask: used, senseOnlyMask: senseOnly, groundMask: ground } = this.adapter;
    await session.configure({ used, senseOnly, ground, far: false, limits: { tripAmps } });
    this.stopIfCancelled();
    return session;
  }

  /**
   * Arms the bench and holds one channel for a person to look at. A latch left from before is cleared once. Throws as a session does;
   * not before `open`.
   */
  async hold(channel: number, onTrace?: (point: TracePoint) => void): Promise<Hold> {
    const session = this.#session;
    if (!session) throw new Error("no bench is open");
    this.stopIfCancelled();
    try {
      await session.arm();
    } catch (error) {
      if (refusalOf(error)?.code !== "latched") throw error;
      await session.clear();
      this.stopIfCancelled();
      await session.arm();
    }
    this.stopIfCancelled();
    return await session.hold(channel, onTrace);
  }

  /** Called before everything that could turn an output on. */
  stopIfCancelled(): void {
    if (this.cancelled) throw new Cancelled();
  }

  /** Everything off now; the procedure ends as cancelled. False when that was asked before. */
  cancel(): boolean {
    if (this.cancelled) return false;
    this.#leaving.abort();
    // What this rejects with, the procedure itself hears too.
    if (this.#session) this.#session.off().catch(() => undefined);
    else this.#port?.close().catch(() => undefined);
    return true;
  }

  /** Everything off, and the port free. Never throws. */
  async close(): Promise<void> {
    await this.#session?.close();
    await this.#port?.close();
  }

  /** How a procedure ended that this error, or its cancelling, has broken off. */
  outcomeOf(error: unknown): Exclude<WalkOutcome, { kind: "judged" }> {
    const outputs = this.#session && {
      outputs: this.#session.offIsConfirmed ? ("confirmed-off" as const) : ("silence" as const),
    };
    if (this.cancelled) return { kind: "cancelled", ...outputs };
    const pinAt = (channel: number) => this.adapter.near.find((place) => place.channel === channel)?.pin;
    return { kind: "could-not-test", ...troubleOf(error, pinAt), ...outputs };
  }
}
