import { timing } from "@pinwalk/firmware-protocol/generated/protocol.js";
import type { BenchSession } from "../bench/bench-session.js";
import type { DriveMeasurement, TracePoint } from "../bench/measurements.js";
import type { BenchPort } from "../bench/port.js";
import type { PinChannel } from "../plan/adapter.js";
import type { Plan } from "../plan/plan-schema.js";
import type { Readings } from "../readings/readings.js";
import { BenchVisit } from "./bench-visit.js";
import { EventQueue } from "./event-queue.js";
import type { WalkOutcome } from "./walk-events.js";
import { liveWords } from "./walk-measurements.js";
import { lightablePins } from "./walk-round.js";
import { WalkTroubleError } from "./walk-trouble.js";

/** How it ended: by itself because nobody gave a sign of life, by hand, or because something is wrong. */
export type KeepDrivenOutcome = { readonly kind: "no-sign-of-life" } | Exclude<WalkOutcome, { kind: "judged" }>;

/** What a listener hears while one pin is kept driven. */
export type KeepDrivenEvent =
  | { readonly kind: "connecting" }
  | { readonly kind: "driven" }
  /** The current into the pin, a few times a second. */
  | { readonly kind: "current"; readonly amps: number }
  | { readonly kind: "ended"; readonly outcome: KeepDrivenOutcome };

export interface KeepDrivenOptions {
  readonly plan: Plan;
  readonly pin: string;
  readonly port: BenchPort | (() => Promise<BenchPort>);
  /** Readings of the walk before: only what it drove without a trip is driven. Nothing is added to them. */
  readonly base: Readings;
}

/** The bench tells the current every 20 ms; a person reads it five times a second at most. */
const tracesPerTold = 10;
const liveVolts = timing.liveMillivolts / 1000;

/**
 * Keeps one pin driven while a person looks, touches or measures. Starts at once; iterate it for the events. Without `keep` the bench
 * ends it after ten seconds by itself. Measures nothing for the readings. Never throws: what goes wrong is an outcome. Before `ended`
 * comes, every output is off or the bench is out of reach.
 */
export class KeepDriven implements AsyncIterable<KeepDrivenEvent> {
  readonly outcome: Promise<KeepDrivenOutcome>;
  readonly #options: KeepDrivenOptions;
  readonly #visit: BenchVisit;
  readonly #events = new EventQueue<KeepDrivenEvent>();
  #session: BenchSession | undefined;
  #driven = false;
  #traces = 0;

  constructor(options: KeepDrivenOptions) {
    this.#options = options;
    this.#visit = new BenchVisit(options.plan);
    this.outcome = this.#run();
  }

  /** A person is still looking. */
  keep(): void {
    // A bench that has just ended the drive by itself refuses this; then the pin is off, and that is told.
    if (this.#driven) this.#session?.keep().catch(() => undefined);
  }

  cancel(): void {
    this.#visit.cancel();
  }

  async *[Symbol.asyncIterator](): AsyncGenerator<KeepDrivenEvent, void, undefined> {
    try {
      for (let event = await this.#events.next(); event; event = await this.#events.next()) yield event;
    } finally {
      this.cancel();
      await this.outcome;
    }
  }

  async #run(): Promise<KeepDrivenOutcome> {
    // The caller gets hold of this before its first step.
    await Promise.resolve();
    const outcome = await this.#drive().catch((error: unknown) => this.#visit.outcomeOf(error));
    this.#events.push({ kind: "ended", outcome });
    this.#events.end();
    return outcome;
  }

  async #drive(): Promise<KeepDrivenOutcome> {
    const { plan, port, base, pin } = this.#options;
    this.#events.push({ kind: "connecting" });
    try {
      const place = this.#visit.adapter.near.find((one) => one.pin === pin);
      if (!place || !keepablePins(plan, base).includes(pin)) throw notDrivable(pin);
      const session = await this.#visit.open(port, base.source.tripAmps);
      this.#session = session;
      await requireDead(session, place);
      const hold = await this.#visit.hold(place.channel, (point) => this.#tell(point));
      this.#driven = true;
      this.#events.push({ kind: "driven" });
      const ended = await hold.ended;
      this.#driven = false;
      // A bench that was not kept stays armed: that ends here.
      await session.off();
      this.#visit.stopIfCancelled();
      requireUnkept(pin, ended);
      return { kind: "no-sign-of-life" };
    } finally {
      this.#driven = false;
      await this.#visit.close();
    }
  }

  #tell({ amps }: TracePoint): void {
    if (this.#traces % tracesPerTold === 0) this.#events.push({ kind: "current", amps });
    this.#traces += 1;
  }
}

/**
 * Pins that may be kept driven at a vehicle: circuits with lamps that the walk before has driven without a trip. Never a ground, a
 * charge line or what the plan forbids to drive, whatever the readings say.
 */
export function keepablePins(plan: Plan, base: Readings): readonly string[] {
  if (plan.kind === "cable") return [];
  const never = new Set([plan.ground.pin, ...(plan.senseOnly ?? [])]);
  for (const circuit of plan.circuits) if (circuit.function === "charge") never.add(circuit.pin);
  return lightablePins(plan, base).filter((pin) => !never.has(pin));
}

/** Nothing is armed while something else stands on the pin. */
async function requireDead(session: BenchSession, { pin, channel }: PinChannel): Promise<void> {
  const volts = (await session.rest()).volts[channel];
  if (volts !== undefined && Math.abs(volts) <= liveVolts) return;
  const why = volts === undefined ? "its voltage was not measured" : liveWords(volts);
  throw new WalkTroubleError({ code: "live", message: `${pin} was not driven: ${why}.` });
}

/** A drive that ended for any other reason than silence on the person's side says that something is wrong. */
function requireUnkept(pin: string, { end }: DriveMeasurement): void {
  if (end === "unkept" || end === "asked") return;
  const tripped = end === "slow-trip" || end === "fast-trip";
  throw new WalkTroubleError(
    tripped
      ? { code: "tripped", message: `${pin} drew more than the bench's limit. Walk again to find out why.` }
      : {
          code: "interrupted",
          message: `The bench broke off driving ${pin} (${end}). Check its supply and its cable, and begin again.`,
        },
  );
}

function notDrivable(pin: string): WalkTroubleError {
  return new WalkTroubleError({ code: "not-drivable", message: `${pin} is not one that may be kept driven.` });
}
