import { BenchSession } from "../bench/bench-session.js";
import type { BenchPort } from "../bench/port.js";
import { diagnose } from "../diagnosis/diagnose.js";
import { adapterOf } from "../plan/adapter.js";
import type { PartsLibrary } from "../plan/parts/parts-library.js";
import type { Plan } from "../plan/plan-schema.js";
import type { Readings } from "../readings/readings.js";
import { EventQueue } from "./event-queue.js";
import type { Judge } from "./judge.js";
import { ReadingsDraft } from "./readings-draft.js";
import { requireBenchVoltage } from "./require-bench-voltage.js";
import type { OutputsAtEnd, WalkEvent, WalkOutcome } from "./walk-events.js";
import { liveWords, measureDrives, measureLowCurrent, measureRest, type WalkContext } from "./walk-measurements.js";
import { walkPins } from "./walk-pins.js";
import { troubleOf } from "./walk-trouble.js";

export interface WalkOptions {
  readonly plan: Plan;
  /** The parts that the plan names; the built-in tables if absent. */
  readonly library?: PartsLibrary;
  /** The bench, or how to open it; the walk closes it at its end, whatever that is. */
  readonly port: BenchPort | (() => Promise<BenchPort>);
  /** Milliseconds that one pin's current may take to settle; a cold 27 W filament takes well under a second. */
  readonly driveMostMs?: number;
  /** Slow limit of the bench, amps; 10 A is the reference bench's greatest. */
  readonly tripAmps?: number;
  /** Judges the readings; unless given, this thread does, with `library`. */
  readonly judge?: Judge;
  /** Wall time for `takenAt`. */
  readonly now?: () => Date;
}

const usualDriveMostMs = 4000;
const usualTripAmps = 10;

class Cancelled extends Error {}

/**
 * One walk of a plan: connect, look at rest, low-current check, drive each pin until settled, compare. Starts at once;
 * iterate it for the events, the last of which is `ended`. Leaving the iteration early cancels the walk. Never throws:
 * what goes wrong is an outcome. Before `ended` comes, every output is off or the bench is out of reach.
 */
export class Walk implements AsyncIterable<WalkEvent> {
  /** How the walk ended; everything is off by then. */
  readonly outcome: Promise<WalkOutcome>;
  readonly #options: WalkOptions;
  readonly #events = new EventQueue<WalkEvent>();
  readonly #leaving = new AbortController();
  #port: BenchPort | undefined;
  #session: BenchSession | undefined;
  #draft: ReadingsDraft | undefined;

  constructor(options: WalkOptions) {
    this.#options = options;
    this.outcome = this.#run();
  }

  /** What has been measured so far; undefined before the look at rest. */
  get readings(): Readings | undefined {
    return this.#draft?.document();
  }

  /** Everything off now, and the walk ends as `cancelled`. Harmless when it has ended already. */
  cancel(): void {
    if (this.#cancelled) return;
    this.#leaving.abort();
    // What this rejects with, the walk itself hears too.
    if (this.#session) this.#session.off().catch(() => undefined);
    else this.#port?.close().catch(() => undefined);
  }

  async *[Symbol.asyncIterator](): AsyncGenerator<WalkEvent, void, undefined> {
    try {
      for (let event = await this.#events.next(); event; event = await this.#events.next()) yield event;
    } finally {
      this.cancel();
      await this.outcome;
    }
  }

  async #run(): Promise<WalkOutcome> {
    // The caller gets hold of the walk before its first step.
    await Promise.resolve();
    const outcome = await this.#measure().then(
      () => this.#compare(),
      (error: unknown) => this.#endedBy(error),
    );
    this.#events.push({ kind: "ended", outcome });
    this.#events.end();
    return outcome;
  }

  /** Takes all readings. The bench is off and closed when this settles. */
  async #measure(): Promise<void> {
    try {
      const context = await this.#connect();
      const live = await measureRest(context);
      const dead = ({ pin }: { readonly pin: string }): boolean => !live.has(pin);
      // One reason a pin: what the plan says of it comes before what stands on it.
      const reasons = new Map([...live].map(([pin, volts]) => [pin, liveWords(volts)]));
      for (const { pin, why } of context.pins.undriven) reasons.set(pin, why);
      for (const [pin, why] of reasons) this.#events.push({ kind: "skipped", pin, why });
      await measureLowCurrent(context, context.pins.lowCurrent.filter(dead));
      await measureDrives(context, context.pins.drive.filter(dead));
      context.stopIfCancelled();
      await context.session.off();
    } finally {
      // Closing tries `off` again unless the bench has said that everything is off.
      await this.#session?.close();
      await this.#port?.close();
    }
  }

  async #connect(): Promise<WalkContext> {
    const {
      plan,
      port,
      driveMostMs = usualDriveMostMs,
      tripAmps = usualTripAmps,
      now = () => new Date(),
    } = this.#options;
    this.#events.push({ kind: "phase", phase: "connect", steps: 1 });
    this.#events.push({ kind: "step", phase: "connect", index: 0 });
    this.#port = typeof port === "function" ? await port() : port;
    requireBenchVoltage(plan);
    const stopIfCancelled = (): void => {
      if (this.#cancelled) throw new Cancelled();
    };
    stopIfCancelled();
    this.#session = await BenchSession.open(this.#port);
    stopIfCancelled();
    const session = this.#session;
    const adapter = adapterOf(plan);
    const { serial, firmware, calibratedAt, driveChannels } = session.identity;
    await session.configure({
      used: adapter.usedMask,
      senseOnly: adapter.senseOnlyMask,
      ground: adapter.groundMask,
      far: plan.kind === "cable",
      limits: { tripAmps },
    });
    stopIfCancelled();
    const statedUncertainty = await session.statedUncertainty();
    stopIfCancelled();
    this.#draft = new ReadingsDraft({ serial, firmware, calibratedAt, statedUncertainty, tripAmps }, now());
    return {
      session,
      pins: walkPins(plan, adapter, driveChannels),
      draft: this.#draft,
      driveMostMs,
      tripAmps,
      emit: (event) => this.#events.push(event),
      stopIfCancelled,
    };
  }

  async #compare(): Promise<WalkOutcome> {
    this.#events.push({ kind: "phase", phase: "compare", steps: 1 });
    this.#events.push({ kind: "step", phase: "compare", index: 0 });
    const readings = this.#draft?.document();
    if (readings === undefined) return this.#endedBy(new Error("the walk ended without readings"));
    try {
      const { plan, library, judge } = this.#options;
      const findings = judge
        ? await judge(plan, readings, this.#leaving.signal)
        : diagnose(plan, readings, library === undefined ? {} : { library });
      return { kind: "judged", readings, findings };
    } catch (error) {
      return this.#endedBy(error);
    }
  }

  #endedBy(error: unknown): WalkOutcome {
    const soFar: { readings?: Readings; outputs?: OutputsAtEnd } = {};
    const readings = this.#draft?.document();
    if (readings !== undefined) soFar.readings = readings;
    if (this.#session) soFar.outputs = this.#session.offIsConfirmed ? "confirmed-off" : "silence";
    if (this.#cancelled) return { kind: "cancelled", ...soFar };
    return { kind: "could-not-test", ...troubleOf(error, (channel) => this.#pinAt(channel)), ...soFar };
  }

  get #cancelled(): boolean {
    return this.#leaving.signal.aborted;
  }

  #pinAt(channel: number): string | undefined {
    return adapterOf(this.#options.plan).near.find((place) => place.channel === channel)?.pin;
  }
}

/** Begins a walk. */
export function walk(options: WalkOptions): Walk {
  return new Walk(options);
}
