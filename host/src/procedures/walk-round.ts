import { randomInt } from "node:crypto";
import type { BenchSession } from "../bench/bench-session.js";
import type { DriveMeasurement } from "../bench/measurements.js";
import type { BenchPort } from "../bench/port.js";
import type { PinChannel } from "../plan/adapter.js";
import type { Plan } from "../plan/plan-schema.js";
import type { Readings, SeenReading } from "../readings/readings.js";
import { BenchVisit } from "./bench-visit.js";
import { EventQueue } from "./event-queue.js";
import { type Judge, judgeHere } from "./judge.js";
import type { WalkOutcome } from "./walk-events.js";
import type { WalkRoundEvent } from "./walk-round-events.js";
import { WalkTroubleError } from "./walk-trouble.js";

export interface WalkRoundOptions {
  readonly plan: Plan;
  readonly port: BenchPort | (() => Promise<BenchPort>);
  /** Readings of the walk before: only what it drove without a trip is lit, and to them the answers are added. */
  readonly base: Readings;
  /** Judges the readings; unless given, this thread does. */
  readonly judge?: Judge;
  /** A whole number from 0 to below `below`; a test gives its own. */
  readonly random?: (below: number) => number;
}

type Wish =
  | { readonly kind: "answer"; readonly lit: readonly string[] | null }
  | { readonly kind: "left" }
  | { readonly kind: "light" }
  | { readonly kind: "finish" }
  | { readonly kind: "cancel" };

/**
 * Lights one circuit after another in an order of its own choosing, never saying which, until a person has said what is lit.
 * Starts at once; iterate it for the events. Without `keep` the bench ends a light after ten seconds by itself. Never
 * throws: what goes wrong is an outcome. Before `ended` comes, every output is off or the bench is out of reach.
 */
export class WalkRound implements AsyncIterable<WalkRoundEvent> {
  readonly outcome: Promise<WalkOutcome>;
  readonly #options: WalkRoundOptions;
  readonly #visit: BenchVisit;
  readonly #events = new EventQueue<WalkRoundEvent>();
  readonly #seen: SeenReading[] = [];
  readonly #pins: readonly string[];
  #finishing = false;
  #session: BenchSession | undefined;
  #lit = false;
  /** Nobody looks: nothing is lit until somebody asks for it. */
  #away = false;
  #step = 0;
  #wish: ((wish: Wish) => void) | undefined;

  constructor(options: WalkRoundOptions) {
    this.#options = options;
    this.#visit = new BenchVisit(options.plan);
    this.#pins = pinsToLight(options.plan, options.base);
    this.outcome = this.#run();
  }

  /** Lights of which somebody has said for sure what was lit. */
  get answered(): number {
    return this.#seen.length;
  }

  /** The walk's readings with what has been seen so far; what an earlier walk-round has seen stands unless it was lit again. */
  get readings(): Readings {
    const { base } = this.#options;
    const earlier = (base.seen ?? []).filter(({ pin }) => !this.#pins.includes(pin));
    return { ...base, seen: [...earlier, ...this.#seen] };
  }

  /** What is lit at a step: lamps as `socket.filament`, none as an empty list, null for not sure. False if it is not lit now. */
  answer(step: number, lit: readonly string[] | null): boolean {
    if (!this.#lit || step !== this.#step) return false;
    this.#lit = false;
    this.#wish?.({ kind: "answer", lit });
    return true;
  }

  /** A person is still looking. */
  keep(): void {
    // A bench that has just ended the light by itself refuses this; then the light is out, and that is told.
    if (this.#lit) this.#session?.keep().catch(() => undefined);
  }

  /** The one who looked is gone: out with the light, until somebody asks for it again. */
  leave(): void {
    this.#away = true;
    if (this.#lit) this.#wish?.({ kind: "left" });
  }

  /** Somebody looks again: lights the same circuit if it went dark. */
  light(): void {
    this.#away = false;
    if (!this.#lit) this.#wish?.({ kind: "light" });
  }

  /** That is enough: no further light; what was answered is judged. */
  finish(): void {
    this.#finishing = true;
    this.#wish?.({ kind: "finish" });
  }

  cancel(): void {
    if (this.#visit.cancel()) this.#wish?.({ kind: "cancel" });
  }

  async *[Symbol.asyncIterator](): AsyncGenerator<WalkRoundEvent, void, undefined> {
    try {
      for (let event = await this.#events.next(); event; event = await this.#events.next()) yield event;
    } finally {
      this.cancel();
      await this.outcome;
    }
  }

  async #run(): Promise<WalkOutcome> {
    // The caller gets hold of the walk-round before its first step.
    await Promise.resolve();
    const outcome = await this.#show().then(
      () => this.#visit.judged(this.#options.judge ?? judgeHere, this.readings),
      (error: unknown) => this.#visit.outcomeOf(error),
    );
    this.#events.push({ kind: "ended", outcome });
    this.#events.end();
    return outcome;
  }

  async #show(): Promise<void> {
    const { port, base, random = (below: number) => randomInt(below) } = this.#options;
    this.#events.push({ kind: "connecting" });
    try {
      const session = await this.#visit.open(port, base.source.tripAmps);
      this.#session = session;
      const places = this.#visit.adapter.near;
      const pins = this.#pins.flatMap((pin) => places.find((place) => place.pin === pin) ?? []);
      for (const [at, place] of shuffled(pins, random).entries()) {
        if (this.#finishing) break;
        this.#step = at + 1;
        const lit = await this.#askAbout(session, place, pins.length);
        if (lit === undefined) break;
        if (lit !== null) this.#seen.push({ pin: place.pin, lit: [...lit] });
        this.#events.push({ kind: "answered", step: this.#step, sure: lit !== null });
      }
      this.#visit.stopIfCancelled();
      await session.off();
    } finally {
      this.#lit = false;
      await this.#visit.close();
    }
  }

  /** Lights a circuit until there is an answer, undefined for enough; the light is out when this settles. */
  async #askAbout(
    session: BenchSession,
    place: PinChannel,
    steps: number,
  ): Promise<readonly string[] | null | undefined> {
    for (;;) {
      if (this.#away && !this.#finishing) await this.#darkness("left");
      if (this.#finishing) return undefined;
      const hold = await this.#visit.hold(place.channel);
      const wish = this.#nextWish();
      this.#lit = true;
      // Gone while the bench got ready: out again at once.
      if (this.#away) this.leave();
      if (this.#finishing) this.finish();
      this.#events.push({ kind: "lit", step: this.#step, steps });
      const happened = await Promise.race([wish, hold.ended]);
      this.#lit = false;
      // Everything off between two lights, whatever ended this one.
      await session.off();
      const end = await hold.ended;
      this.#visit.stopIfCancelled();
      if ("kind" in happened && happened.kind === "answer") return happened.lit;
      if (this.#finishing) return undefined;
      if ("kind" in happened) continue;
      requireUnkept(end);
      await this.#darkness("no-sign-of-life");
    }
  }

  /** Waits, with everything off, until somebody asks for the light. */
  async #darkness(why: "no-sign-of-life" | "left"): Promise<void> {
    this.#visit.stopIfCancelled();
    const relit = this.#nextWish();
    this.#events.push({ kind: "dark", step: this.#step, why });
    await relit;
    this.#visit.stopIfCancelled();
  }

  #nextWish(): Promise<Wish> {
    return new Promise((resolve) => {
      this.#wish = resolve;
    });
  }
}

/** Circuits with lamps that the walk before has driven without a trip. */
export function lightablePins(plan: Plan, base: Readings): readonly string[] {
  if (plan.kind === "cable") return [];
  const lamps = new Set(plan.circuits.filter(({ feeds }) => feeds.length > 0).map(({ pin }) => pin));
  const driven = (base.drives ?? []).filter(({ pin, tripped }) => tripped !== true && lamps.has(pin));
  return [...new Set(driven.map(({ pin }) => pin))];
}

/** Those that a walk-round before has not seen for sure; when all are seen, all anew. */
function pinsToLight(plan: Plan, base: Readings): readonly string[] {
  const pins = lightablePins(plan, base);
  const seen = new Set(base.seen?.map(({ pin }) => pin));
  const unseen = pins.filter((pin) => !seen.has(pin));
  return unseen.length > 0 ? unseen : pins;
}

/** A light that ended for any other reason than silence on the person's side says that something is wrong. */
function requireUnkept({ end }: DriveMeasurement): void {
  if (end === "unkept" || end === "asked") return;
  if (end === "slow-trip" || end === "fast-trip") {
    throw new WalkTroubleError({
      code: "tripped",
      message: "A circuit drew more than the bench's limit while it was lit. Walk again to find out which.",
    });
  }
  throw new WalkTroubleError({
    code: "interrupted",
    message: `A light was broken off by the bench (${end}). Check its supply and its cable, and begin the walk-round again.`,
  });
}

/** Fisher and Yates: every order is as likely as any other. */
function shuffled<Item>(items: readonly Item[], random: (below: number) => number): Item[] {
  const left = [...items];
  const order: Item[] = [];
  while (left.length > 0) order.push(...left.splice(random(left.length), 1));
  return order;
}
