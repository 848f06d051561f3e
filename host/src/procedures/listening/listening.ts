import type { WatchBlock } from "../../bench/watch-values.js";
import { BenchTurn, type BrokenOff, type PortOrOpener } from "../bench-turn.js";
import { EventQueue } from "../event-queue.js";
import { keepWatch } from "../keep-watch.js";
import { WalkTroubleError } from "../walk-trouble.js";
import type { Heard, ListeningEvent, ListeningOutcome } from "./listening-events.js";
import { readSignal } from "./read-signal.js";
import { SignalHistory } from "./signal-history.js";
import { leastSignalVolts } from "./signal-levels.js";
import { type SaidSwitch, wireFunctions } from "./wire-function.js";

export interface ListeningOptions {
  readonly port: PortOrOpener;
  /** Channel of the bench that the wire sits on, 0 to 12. */
  readonly channel: number;
  /** Ends by itself after so long; until `finish` if absent. */
  readonly forMs?: number;
}

/** What a person sees as "now": nine cycles of the slowest normal flasher. */
const nowMs = 9000;
const tellEveryMs = 1000;

/**
 * Listens to one wire, with nothing driven and the relay open, and tells what it carries. Starts at once; iterate it for the
 * events. A person may say what is switched (`said`), which tells the wire's function. Never throws: what goes wrong is an
 * outcome.
 */
export class Listening implements AsyncIterable<ListeningEvent> {
  readonly outcome: Promise<ListeningOutcome>;
  readonly #options: ListeningOptions;
  readonly #turn = new BenchTurn();
  readonly #events = new EventQueue<ListeningEvent>();
  readonly #history = new SignalHistory();
  readonly #said: SaidSwitch[] = [];
  #toldMs = 0;
  #finish: () => void = () => undefined;
  readonly #finished: Promise<void>;

  constructor(options: ListeningOptions) {
    this.#options = options;
    this.#finished = new Promise((resolve) => {
      this.#finish = resolve;
    });
    this.outcome = this.#run();
  }

  /** The person has switched a function of the vehicle just now. */
  said(name: string, on: boolean): void {
    this.#said.push({ atMs: this.#history.endMs, function: name, on });
  }

  /** Enough: the outcome is what was heard so far. */
  finish(): void {
    this.#finish();
  }

  cancel(): void {
    this.#turn.cancel();
    this.#finish();
  }

  async *[Symbol.asyncIterator](): AsyncGenerator<ListeningEvent, void, undefined> {
    try {
      for (let event = await this.#events.next(); event; event = await this.#events.next()) yield event;
    } finally {
      this.cancel();
      await this.outcome;
    }
  }

  async #run(): Promise<ListeningOutcome> {
    await Promise.resolve();
    const outcome = await this.#listen().then(
      (): ListeningOutcome => ({ kind: "heard", ...this.#heard(this.#history.windows) }),
      (error: unknown): BrokenOff => this.#turn.brokenOff(error),
    );
    this.#events.push({ kind: "ended", outcome });
    this.#events.end();
    return outcome;
  }

  async #listen(): Promise<void> {
    const { port, channel, forMs } = this.#options;
    this.#events.push({ kind: "connecting" });
    try {
      // Every channel is a wire to listen to and none is to be driven, whatever is asked of the bench later.
      const everyChannel = 2 ** 13 - 1;
      const session = await this.#turn.open(port, { used: everyChannel, senseOnly: everyChannel, ground: 0 });
      const watch = await session.watch(channel, {
        mode: "listen",
        what: "near",
        below: leastSignalVolts,
        onBlock: (block) => this.#take(block),
      });
      this.#events.push({ kind: "listening", channel });
      const timer = forMs === undefined ? undefined : session.port.clock.after(forMs, this.#finish);
      const stopKeeping = keepWatch(session);
      const over = watch.ended.then((summary) => summary.end);
      try {
        const end = await Promise.race([this.#finished, over]);
        this.#turn.stopIfCancelled();
        if (end !== undefined) throw brokenWatch(end);
      } finally {
        stopKeeping();
        timer?.cancel();
      }
      await session.off();
      await over;
    } finally {
      await this.#turn.close();
    }
  }

  #take(block: WatchBlock): void {
    this.#history.add(block);
    const { windows } = block;
    const atMs = this.#history.endMs;
    this.#events.push({
      kind: "level",
      atMs,
      least: Math.min(...windows.map(({ least }) => least)),
      mean: windows.reduce((sum, { mean }) => sum + mean, 0) / Math.max(1, windows.length),
      greatest: Math.max(...windows.map(({ greatest }) => greatest)),
      block,
    });
    if (atMs - this.#toldMs < tellEveryMs) return;
    this.#toldMs = atMs;
    this.#events.push({ kind: "heard", atMs, ...this.#heard(this.#history.last(nowMs)) });
  }

  #heard(windows: Parameters<typeof readSignal>[0]): Heard {
    const reading = readSignal(windows);
    const whole = this.#said.length === 0 ? reading : readSignal(this.#history.windows);
    return { reading, functions: wireFunctions(whole, this.#said), lostWindows: this.#history.lostWindows };
  }
}

function brokenWatch(end: string): WalkTroubleError {
  return new WalkTroubleError({
    code: "interrupted",
    message: `The bench stopped listening (${end}). Check the cable to the bench, and begin again.`,
  });
}
