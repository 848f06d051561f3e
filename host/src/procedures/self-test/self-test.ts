import { driveChannels } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { BenchTurn, type BrokenOff, type PortOrOpener } from "../bench-turn.js";
import { EventQueue } from "../event-queue.js";
import { barePins } from "./bare-pins.js";
import { farLoads } from "./far-loads.js";
import { ownValues } from "./own-values.js";
import { overallOf, type SelfTestItem } from "./self-test-item.js";

/** What has to be plugged in or out before the next tests; each may be skipped. */
export type SelfTestStep = "nothing-plugged-in" | "far-loads";

export type SelfTestOutcome =
  | { readonly kind: "tested"; readonly overall: "pass" | "fail" | "unsure"; readonly items: readonly SelfTestItem[] }
  | BrokenOff;

export type SelfTestEvent =
  | { readonly kind: "connecting" }
  | { readonly kind: "step"; readonly step: SelfTestStep }
  | { readonly kind: "item"; readonly item: SelfTestItem }
  | { readonly kind: "ended"; readonly outcome: SelfTestOutcome };

export interface SelfTestOptions {
  readonly port: PortOrOpener;
  /** Drive channels that the near connector has pins for; all eight if absent. */
  readonly wired?: readonly number[];
}

const driveChannelNumbers = Array.from({ length: driveChannels }, (_, channel) => channel);
const everyChannel = 2 ** 13 - 1;
const usualTripAmps = 2;
const roles = { used: everyChannel, senseOnly: 0, ground: 0, far: true } as const;

/**
 * The bench's own tests: what it says of itself, its pins with nothing plugged in, its switches on the far loads. Starts at once;
 * iterate it for the events, and answer each step with `ready` or `skip`. Never throws: what goes wrong is an outcome, and every
 * end has the outputs off.
 */
export class SelfTest implements AsyncIterable<SelfTestEvent> {
  readonly outcome: Promise<SelfTestOutcome>;
  readonly #port: PortOrOpener;
  readonly #wired: readonly number[];
  readonly #turn = new BenchTurn();
  readonly #events = new EventQueue<SelfTestEvent>();
  readonly #items: SelfTestItem[] = [];
  #answered: (isReady: boolean) => void = () => undefined;

  constructor({ port, wired = driveChannelNumbers }: SelfTestOptions) {
    this.#port = port;
    this.#wired = wired;
    this.outcome = this.#run();
  }

  /** What the present step asks for is so. */
  ready(): void {
    this.#answered(true);
  }

  /** It is not; its tests are left out. */
  skip(): void {
    this.#answered(false);
  }

  cancel(): void {
    this.#turn.cancel();
    this.#answered(false);
  }

  async *[Symbol.asyncIterator](): AsyncGenerator<SelfTestEvent, void, undefined> {
    try {
      for (let event = await this.#events.next(); event; event = await this.#events.next()) yield event;
    } finally {
      this.cancel();
      await this.outcome;
    }
  }

  async #run(): Promise<SelfTestOutcome> {
    await Promise.resolve();
    const outcome = await this.#test().then(
      (): SelfTestOutcome => ({ kind: "tested", overall: overallOf(this.#items), items: this.#items }),
      (error: unknown): SelfTestOutcome => this.#turn.brokenOff(error),
    );
    this.#events.push({ kind: "ended", outcome });
    this.#events.end();
    return outcome;
  }

  async #test(): Promise<void> {
    this.#events.push({ kind: "connecting" });
    try {
      const session = await this.#turn.open(this.#port, { ...roles, limits: { tripAmps: usualTripAmps } });
      this.#tell(ownValues(await session.selfCheck(), session.identity));
      const stop = () => this.#turn.stopIfCancelled();
      await this.#step("nothing-plugged-in", "pins", () => barePins(session, stop));
      const setLimit = (tripAmps: number) => session.configure({ ...roles, limits: { tripAmps } });
      await this.#step("far-loads", "loads", () => farLoads(session, this.#wired, setLimit, stop));
      this.#tell([
        {
          id: "fast-limit",
          verdict: "not-tested",
          words: "The fast limit's latch is not tested: it takes about 30 A.",
          lookAt: "The build guide's check of the limit before the first use.",
        },
      ]);
      await session.off();
    } finally {
      await this.#turn.close();
    }
  }

  async #step(step: SelfTestStep, id: string, test: () => Promise<readonly SelfTestItem[]>): Promise<void> {
    this.#turn.stopIfCancelled();
    const answered = new Promise<boolean>((resolve) => {
      this.#answered = resolve;
    });
    this.#events.push({ kind: "step", step });
    const isReady = await answered;
    this.#turn.stopIfCancelled();
    if (isReady) this.#tell(await test());
    else this.#tell([{ id, verdict: "not-tested", words: `Left out: ${leftOutWords[step]}.` }]);
  }

  #tell(items: readonly SelfTestItem[]): void {
    for (const item of items) {
      this.#items.push(item);
      this.#events.push({ kind: "item", item });
    }
  }
}

const leftOutWords: Readonly<Record<SelfTestStep, string>> = {
  "nothing-plugged-in": "the inputs and the low-current sources, for which nothing may be plugged in",
  "far-loads": "switches, current and slow limit, for which the far loads have to be on the near connector",
};
