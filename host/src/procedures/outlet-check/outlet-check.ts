import type { BenchSession } from "../../bench/bench-session.js";
import type { WatchBlock } from "../../bench/watch-values.js";
import { BenchTurn, type PortOrOpener } from "../bench-turn.js";
import { EventQueue } from "../event-queue.js";
import { readSignal } from "../listening/read-signal.js";
import { SignalHistory } from "../listening/signal-history.js";
import { leastSignalVolts } from "../listening/signal-levels.js";
import { WalkTroubleError } from "../walk-trouble.js";
import type { OutletCheckEvent, OutletCheckOutcome, OutletStep } from "./outlet-check-events.js";
import { type OutletThresholds, outletVerdict, usualOutletThresholds } from "./outlet-verdict.js";

export interface OutletCheckOptions {
  readonly port: PortOrOpener;
  /** Pins with the bench's channels that they sit on (`adapterOf(plan).near`). */
  readonly pins: readonly { readonly pin: string; readonly channel: number }[];
  /** How long each is listened to; a flasher needs two of its cycles. */
  readonly forMs?: number;
  readonly thresholds?: OutletThresholds;
}

const usualForMs = 3000;
const everyChannel = 2 ** 13 - 1;

const stepWords: Readonly<Record<OutletStep, string>> = {
  "without-loads":
    "Plug the bench's near cable into the tow vehicle's outlet, no far loads on it. Switch on everything that is to be checked.",
  "with-loads": "Put the far loads on the same pins, and leave the switches as they are.",
};

/**
 * Listens to a tow vehicle's outlet without and with the far loads, and says what its pins lose under them. Nothing is driven. Starts
 * at once; iterate it for the events, and answer each step with `ready` or `skip`. Never throws: what goes wrong is an outcome.
 */
export class OutletCheck implements AsyncIterable<OutletCheckEvent> {
  readonly outcome: Promise<OutletCheckOutcome>;
  readonly #options: OutletCheckOptions;
  readonly #turn = new BenchTurn();
  readonly #events = new EventQueue<OutletCheckEvent>();
  readonly #heard: Record<OutletStep, Map<string, number>> = { "without-loads": new Map(), "with-loads": new Map() };
  #answered: (isReady: boolean) => void = () => undefined;

  constructor(options: OutletCheckOptions) {
    this.#options = options;
    this.outcome = this.#run();
  }

  /** What the present step asks for is so. */
  ready(): void {
    this.#answered(true);
  }

  /** It is not; it is left out. */
  skip(): void {
    this.#answered(false);
  }

  cancel(): void {
    this.#turn.cancel();
    this.#answered(false);
  }

  async *[Symbol.asyncIterator](): AsyncGenerator<OutletCheckEvent, void, undefined> {
    try {
      for (let event = await this.#events.next(); event; event = await this.#events.next()) yield event;
    } finally {
      this.cancel();
      await this.outcome;
    }
  }

  async #run(): Promise<OutletCheckOutcome> {
    await Promise.resolve();
    const pinAt = (channel: number) => this.#options.pins.find((one) => one.channel === channel)?.pin;
    const outcome = await this.#listen().then(
      () => this.#compared(),
      (error: unknown): OutletCheckOutcome => this.#turn.brokenOff(error, pinAt),
    );
    this.#events.push({ kind: "ended", outcome });
    this.#events.end();
    return outcome;
  }

  #compared(): OutletCheckOutcome {
    const { thresholds = usualOutletThresholds } = this.#options;
    const pins = this.#options.pins.map(({ pin }) =>
      outletVerdict(
        { pin, open: this.#heard["without-loads"].get(pin), loaded: this.#heard["with-loads"].get(pin) },
        thresholds,
      ),
    );
    const verdicts = pins.map(({ verdict }) => verdict);
    const overall = verdicts.includes("fail") ? "fail" : verdicts.includes("unsure") ? "unsure" : "pass";
    return { kind: "compared", pins, thresholds, overall };
  }

  async #listen(): Promise<void> {
    this.#events.push({ kind: "connecting" });
    try {
      // Every channel is a wire to listen to and none is to be driven, whatever is asked of the bench later.
      const setup = { used: everyChannel, senseOnly: everyChannel, ground: 0 };
      const session = await this.#turn.open(this.#options.port, setup);
      for (const step of ["without-loads", "with-loads"] as const) {
        if (await this.#isReady(step)) await this.#listenToAll(session, step);
      }
    } finally {
      await this.#turn.close();
    }
  }

  async #isReady(step: OutletStep): Promise<boolean> {
    this.#turn.stopIfCancelled();
    const answered = new Promise<boolean>((resolve) => {
      this.#answered = resolve;
    });
    this.#events.push({ kind: "step", step, words: stepWords[step] });
    const isReady = await answered;
    this.#turn.stopIfCancelled();
    return isReady;
  }

  async #listenToAll(session: BenchSession, step: OutletStep): Promise<void> {
    const { pins } = this.#options;
    const loads = step === "with-loads";
    for (const [index, { pin, channel }] of pins.entries()) {
      this.#events.push({ kind: "pin", pin, loads, index, of: pins.length });
      const volts = await this.#onVolts(session, pin, channel);
      this.#heard[step].set(pin, volts ?? 0);
      this.#events.push({ kind: "measured", pin, loads, ...(volts === undefined ? {} : { volts }) });
    }
  }

  /** Volts of a pin while it is on, whatever else it does; undefined where nothing came. */
  async #onVolts(session: BenchSession, pin: string, channel: number): Promise<number | undefined> {
    const history = new SignalHistory();
    const watch = await session.watch(channel, {
      mode: "listen",
      what: "near",
      below: leastSignalVolts,
      onBlock: (block) => {
        history.add(block);
        this.#events.push({ kind: "level", pin, atMs: history.endMs, ...levelOf(block) });
      },
    });
    // Shorter than the ten seconds after which an unkept watch ends: nothing has to be kept.
    const over = watch.ended.then(({ end }) => end);
    const { forMs = usualForMs } = this.#options;
    const timeUp = new Promise<undefined>((resolve) => {
      session.port.clock.after(Math.min(forMs, 9000), () => resolve(undefined));
    });
    const end = await Promise.race([timeUp, over]);
    this.#turn.stopIfCancelled();
    if (end !== undefined)
      throw new WalkTroubleError({
        code: "interrupted",
        message: `The bench stopped listening to ${pin} (${end}). Check the cable to the bench, and begin again.`,
      });
    await session.off();
    await over;
    return readSignal(history.windows).onVolts;
  }
}

function levelOf({ windows }: WatchBlock): {
  readonly least: number;
  readonly mean: number;
  readonly greatest: number;
} {
  return {
    least: Math.min(...windows.map(({ least }) => least)),
    mean: windows.reduce((sum, { mean }) => sum + mean, 0) / Math.max(1, windows.length),
    greatest: Math.max(...windows.map(({ greatest }) => greatest)),
  };
}
