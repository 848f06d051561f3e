import { driveChannels } from "@pinwalk/firmware-protocol/generated/protocol.js";
import type { BenchSession } from "../../bench/bench-session.js";
import { adapterOf } from "../../plan/adapter.js";
import type { CablePlan } from "../../plan/plan-schema.js";
import { BenchTurn, type PortOrOpener } from "../bench-turn.js";
import { EventQueue } from "../event-queue.js";
import { keepWatch } from "../keep-watch.js";
import { WalkTroubleError } from "../walk-trouble.js";
import { ConductorStrip, type Followed } from "./conductor-strip.js";
import { type FlexThresholds, usualFlexThresholds } from "./flex-thresholds.js";
import { flexVerdict } from "./flex-verdict.js";
import type { ConductorJudged, FlexEvent, FlexOutcome } from "./flex-watch-events.js";

export interface FlexWatchOptions {
  readonly plan: CablePlan;
  readonly port: PortOrOpener;
  /** Near pins to watch, in this order; every conductor but the ground if absent. */
  readonly pins?: readonly string[];
  /** How long each is watched; the person moves the cable meanwhile. */
  readonly forMs?: number;
  readonly thresholds?: FlexThresholds;
}

const usualForMs = 10_000;

interface Place {
  readonly pin: string;
  readonly channel: number;
  readonly followed: Followed;
}

/**
 * Drives one conductor of a cable after the other into its far load while a person moves the cable, and tells every
 * interruption and how far the resistance wavers. Starts at once; iterate it for the events. `next` goes on to the following
 * conductor before its time is up. Never throws: what goes wrong is an outcome, and every end has the outputs off.
 */
export class FlexWatch implements AsyncIterable<FlexEvent> {
  readonly outcome: Promise<FlexOutcome>;
  readonly #options: FlexWatchOptions;
  readonly #turn = new BenchTurn();
  readonly #events = new EventQueue<FlexEvent>();
  readonly #thresholds: FlexThresholds;
  readonly #conductors: ConductorJudged[] = [];
  #next: () => void = () => undefined;

  constructor(options: FlexWatchOptions) {
    this.#options = options;
    this.#thresholds = options.thresholds ?? usualFlexThresholds;
    this.outcome = this.#run();
  }

  /** Enough of this conductor. */
  next(): void {
    this.#next();
  }

  cancel(): void {
    this.#turn.cancel();
    this.#next();
  }

  async *[Symbol.asyncIterator](): AsyncGenerator<FlexEvent, void, undefined> {
    try {
      for (let event = await this.#events.next(); event; event = await this.#events.next()) yield event;
    } finally {
      this.cancel();
      await this.outcome;
    }
  }

  async #run(): Promise<FlexOutcome> {
    await Promise.resolve();
    const adapter = adapterOf(this.#options.plan);
    const pinAt = (channel: number) => adapter.near.find((place) => place.channel === channel)?.pin;
    const outcome = await this.#watchAll().then(
      () => this.#judged(),
      (error: unknown): FlexOutcome => this.#turn.brokenOff(error, pinAt),
    );
    this.#events.push({ kind: "ended", outcome });
    this.#events.end();
    return outcome;
  }

  #judged(): FlexOutcome {
    const verdicts = this.#conductors.map(({ judged }) => judged.verdict);
    const overall = verdicts.includes("fail") ? "fail" : verdicts.includes("unsure") ? "unsure" : "pass";
    return { kind: "watched", conductors: this.#conductors, thresholds: this.#thresholds, overall };
  }

  async #watchAll(): Promise<void> {
    const { plan, port, pins } = this.#options;
    this.#events.push({ kind: "connecting" });
    const { usedMask: used, senseOnlyMask: senseOnly, groundMask: ground } = adapterOf(plan);
    try {
      const session = await this.#turn.open(port, { used, senseOnly, ground, far: true });
      const places = placesOf(plan, pins);
      for (const [index, place] of places.entries()) {
        const { pin, followed } = place;
        this.#events.push({ kind: "conductor", pin, index, of: places.length, followed });
        await this.#watchOne(session, place);
      }
    } finally {
      await this.#turn.close();
    }
  }

  async #watchOne(session: BenchSession, { pin, channel, followed }: Place): Promise<void> {
    const { plan, forMs = usualForMs } = this.#options;
    const strip = new ConductorStrip(pin, followed);
    const finished = new Promise<void>((resolve) => {
      this.#next = resolve;
    });
    this.#turn.stopIfCancelled();
    const supplyVolts = await session.arm();
    this.#turn.stopIfCancelled();
    const watch = await session.watch(channel, {
      mode: "drive",
      what: followed === "far-volts" ? "far" : "current",
      // Half of what a sound conductor has.
      below: supplyVolts / 2 / (followed === "far-volts" ? 1 : plan.farLoadOhms),
      onBlock: (block) => this.#events.push({ kind: "strip", pin, point: strip.add(block), block }),
      onGap: (gap) => {
        strip.addGap(gap);
        this.#events.push({ kind: "gap", pin, gap });
      },
    });
    const timer = session.port.clock.after(forMs, () => this.#next());
    const stopKeeping = keepWatch(session);
    const over = watch.ended.then(({ end }) => end);
    try {
      const end = await Promise.race([finished, over]);
      this.#turn.stopIfCancelled();
      if (end !== undefined) throw brokenWatch(pin, end);
    } finally {
      timer.cancel();
      stopKeeping();
    }
    await session.off();
    const watched = strip.result(await watch.ended);
    const conductor = { ...watched, judged: flexVerdict(watched, this.#thresholds) };
    this.#conductors.push(conductor);
    this.#events.push({ kind: "judged", conductor });
  }
}

/** Which conductors are watched, and how: the bench follows the far input of the same number as the driven channel. */
export function placesOf(plan: CablePlan, pins: readonly string[] | undefined): readonly Place[] {
  const { near, far, groundPins, senseOnly } = adapterOf(plan);
  const conductors = plan.conductors.filter((one) => !groundPins.includes(one.near) && !senseOnly.includes(one.near));
  const wanted = pins ?? conductors.map((one) => one.near);
  return wanted.map((pin) => {
    const conductor = conductors.find((one) => one.near === pin);
    const channel = near.find((place) => place.pin === pin)?.channel;
    if (conductor === undefined || channel === undefined || channel >= driveChannels) {
      throw new WalkTroubleError({
        code: "no-such-conductor",
        message: `Pin ${pin} cannot be watched: it is a ground, it is not on the plan, or the plan forbids driving it. The conductors are ${conductors.map((one) => one.near).join(", ")}.`,
      });
    }
    const farChannel = far.find((place) => place.pin === conductor.far)?.channel;
    return { pin, channel, followed: farChannel === channel ? "far-volts" : "amps" };
  });
}

function brokenWatch(pin: string, end: string): WalkTroubleError {
  const why =
    end === "slow-trip" || end === "fast-trip"
      ? `${pin} took more current than the bench allows: it is shorted. Walk the cable first.`
      : `The watch of ${pin} was broken off (${end}); everything is off. Check the supply and the cable to the bench, and begin again.`;
  return new WalkTroubleError({ code: end === "supply" ? "supply" : "interrupted", message: why });
}
