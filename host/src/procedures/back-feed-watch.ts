import type { BenchSession } from "../bench/bench-session.js";
import type { BenchPort } from "../bench/port.js";
import type { Plan } from "../plan/plan-schema.js";
import type { BackFeedReading, Readings } from "../readings/readings.js";
import { type BackFeedAsk, backFeedAsks, backFeedLimits, backFeedMarginVolts } from "./back-feed-watch-asks.js";
import type { BackFeedEvent, BackFeedStep } from "./back-feed-watch-events.js";
import { BenchVisit } from "./bench-visit.js";
import { EventQueue } from "./event-queue.js";
import { type Judge, judgeHere } from "./judge.js";
import type { WalkOutcome } from "./walk-events.js";

export interface BackFeedWatchOptions {
  readonly plan: Plan;
  readonly port: BenchPort | (() => Promise<BenchPort>);
  /** Readings of the walk before, to which the watch adds. */
  readonly base: Readings;
  /** Judges the readings; unless given, this thread does. */
  readonly judge?: Judge;
}

/** Between two looks, which take about 100 ms themselves: no whole fraction of a flasher's period. */
const betweenLooksMs = 60;
/** Two periods of the slowest flasher, 60 a minute (SAE J590 and UN R48 from memory), and a little more. */
const watchMs = 2300;
/** The longest dark phase of that flasher, at 30 % on-time, and a little more. */
const quietMs = 900;

type Volts = Readonly<Record<string, number>>;
type Answer = "confirm" | "skip";

/**
 * Listens on every pin, with nothing driven and the relay open, while a person switches the vehicle's own functions on one
 * at a time. Starts at once; iterate it for the events. It notices a voltage by itself and otherwise takes the person's word
 * (`confirm`). Never throws: what goes wrong is an outcome.
 */
export class BackFeedWatch implements AsyncIterable<BackFeedEvent> {
  readonly outcome: Promise<WalkOutcome>;
  readonly #options: BackFeedWatchOptions;
  readonly #visit: BenchVisit;
  readonly #events = new EventQueue<BackFeedEvent>();
  readonly #readings: BackFeedReading[] = [];
  #answer: Answer | undefined;
  #finishing = false;
  /** Pins that carry something with everything off: they tell nothing. */
  #loud: ReadonlySet<string> = new Set();
  #clock: BenchPort["clock"] | undefined;

  constructor(options: BackFeedWatchOptions) {
    this.#options = options;
    this.#visit = new BenchVisit(options.plan);
    this.outcome = this.#run();
  }

  /** The person has done what the present step asks for. */
  confirm(): void {
    this.#answer = "confirm";
  }

  /** The vehicle does not have the function, or it cannot be switched on now. */
  skip(): void {
    this.#answer = "skip";
  }

  /** The walk's readings with what has been watched so far; what an earlier watch found stands until it is watched again. */
  get readings(): Readings {
    const { base } = this.#options;
    const anew = new Set(this.#readings.map(({ vehicle }) => vehicle.join()));
    const earlier = (base.backFeed ?? []).filter(({ vehicle }) => !anew.has(vehicle.join()));
    return { ...base, backFeed: [...earlier, ...this.#readings] };
  }

  /** No further function; what was recorded is judged. */
  finish(): void {
    this.#finishing = true;
  }

  cancel(): void {
    this.#visit.cancel();
  }

  async *[Symbol.asyncIterator](): AsyncGenerator<BackFeedEvent, void, undefined> {
    try {
      for (let event = await this.#events.next(); event; event = await this.#events.next()) yield event;
    } finally {
      this.cancel();
      await this.outcome;
    }
  }

  async #run(): Promise<WalkOutcome> {
    // The caller gets hold of the watch before its first step.
    await Promise.resolve();
    const outcome = await this.#listen().then(
      () => this.#visit.judged(this.#options.judge ?? judgeHere, this.readings),
      (error: unknown) => this.#visit.outcomeOf(error),
    );
    this.#events.push({ kind: "ended", outcome });
    this.#events.end();
    return outcome;
  }

  async #listen(): Promise<void> {
    const { plan, port, base } = this.#options;
    this.#events.push({ kind: "connecting" });
    try {
      const session = await this.#visit.open(port, base.source.tripAmps);
      this.#clock = session.port.clock;
      await this.#allOff(session);
      for (const ask of backFeedAsks(plan)) {
        if (this.#finishing) break;
        await this.#askFor(session, ask);
      }
      this.#visit.stopIfCancelled();
      await session.off();
    } finally {
      await this.#visit.close();
    }
  }

  /** Waits for a quiet connector; on the person's word the pins that are not quiet are left out of the watch. */
  async #allOff(session: BenchSession): Promise<void> {
    const limits = (volts: Volts) => this.#over(volts, {});
    let over = limits(await this.#look(session, {}));
    if (over.length === 0) return;
    this.#step("all-off", null);
    while (over.length > 0 && this.#take() === undefined && !this.#finishing) {
      over = limits(await this.#look(session, {}));
    }
    this.#loud = new Set(over);
  }

  async #askFor(session: BenchSession, ask: BackFeedAsk): Promise<void> {
    const limits = backFeedLimits(this.#options.plan, ask);
    this.#step("switch-on", ask);
    let greatest: Volts = {};
    let answer: Answer | undefined;
    while (answer === undefined && this.#over(greatest, limits).length === 0) {
      if (this.#finishing) return;
      greatest = await this.#look(session, limits);
      answer = this.#take();
    }
    if (answer === "skip") {
      this.#events.push({ kind: "skipped", ask });
      return;
    }
    this.#step("watching", ask);
    for (const endMs = this.#nowMs + watchMs; this.#nowMs < endMs; ) {
      greatest = greaterOf(greatest, await this.#look(session, limits));
    }
    const fed = this.#over(greatest, limits);
    const reading: BackFeedReading = { vehicle: [...ask.functions], volts: { ...greatest } };
    this.#readings.push(reading);
    this.#events.push({
      kind: "recorded",
      ask,
      reading,
      fed,
      how: answer === undefined ? "noticed" : "confirmed",
    });
    if (fed.length > 0) await this.#untilQuiet(session, ask, limits);
  }

  /** What has shown up must be gone before the next function, or it would be taken for it. */
  async #untilQuiet(session: BenchSession, ask: BackFeedAsk, limits: Volts): Promise<void> {
    this.#step("switch-off", ask);
    let quietSinceMs: number | undefined;
    while (this.#take() === undefined && !this.#finishing) {
      const loud = this.#over(await this.#look(session, limits), limits).length > 0;
      quietSinceMs = loud ? undefined : (quietSinceMs ?? this.#nowMs);
      if (quietSinceMs !== undefined && this.#nowMs - quietSinceMs >= quietMs) return;
    }
  }

  /** One look at every pin but the grounds, and a pause of the bench's clock. */
  async #look(session: BenchSession, limits: Volts): Promise<Volts> {
    this.#visit.stopIfCancelled();
    const rest = await session.rest();
    const { near, groundPins } = this.#visit.adapter;
    const volts = Object.fromEntries(
      near.flatMap(({ pin, channel }) => {
        const value = rest.volts[channel];
        return value === undefined || groundPins.includes(pin) ? [] : [[pin, value]];
      }),
    );
    this.#events.push({ kind: "volts", volts, over: this.#over(volts, limits) });
    await new Promise<void>((resolve) => void session.port.clock.after(betweenLooksMs, resolve));
    return volts;
  }

  #over(volts: Volts, limits: Volts): string[] {
    return Object.entries(volts)
      .filter(([pin, value]) => !this.#loud.has(pin) && Math.abs(value) > (limits[pin] ?? backFeedMarginVolts))
      .map(([pin]) => pin);
  }

  #step(step: BackFeedStep, ask: BackFeedAsk | null): void {
    // An answer to the step before is none to this one.
    this.#answer = undefined;
    this.#events.push({ kind: "step", step, ask });
  }

  #take(): Answer | undefined {
    const answer = this.#answer;
    this.#answer = undefined;
    return answer;
  }

  get #nowMs(): number {
    return this.#clock?.nowMs() ?? 0;
  }
}

/** Of each pin the value that lies farther from zero. */
function greaterOf(one: Volts, other: Volts): Volts {
  const greatest: Record<string, number> = { ...one };
  for (const [pin, value] of Object.entries(other)) {
    if (Math.abs(value) > Math.abs(greatest[pin] ?? 0)) greatest[pin] = value;
    else greatest[pin] ??= value;
  }
  return greatest;
}
