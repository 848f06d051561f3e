import type { BenchSetup } from "../bench/bench-session.js";
import { BenchSession } from "../bench/bench-session.js";
import type { BenchPort } from "../bench/port.js";
import type { OutputsAtEnd } from "./walk-events.js";
import { troubleOf } from "./walk-trouble.js";

/** The bench, or how to open it. Whoever takes its turn closes it at the end. */
export type PortOrOpener = BenchPort | (() => Promise<BenchPort>);

/** How a procedure ends before its time: somebody stopped it, or the bench could not do its work. */
export type BrokenOff =
  | { readonly kind: "cancelled"; readonly outputs?: OutputsAtEnd }
  | {
      readonly kind: "could-not-test";
      readonly code: string;
      readonly message: string;
      readonly outputs?: OutputsAtEnd;
    };

class Cancelled extends Error {}

/** One procedure's turn at the bench, without a plan: opened, set up, and given back with everything off. */
export class BenchTurn {
  #cancelled = false;
  #port: BenchPort | undefined;
  #session: BenchSession | undefined;
  #offAsked: Promise<void> | undefined;

  /** Throws as a session does. `setup` is left out by what only asks and listens. */
  async open(port: PortOrOpener, setup?: BenchSetup): Promise<BenchSession> {
    this.#port = typeof port === "function" ? await port() : port;
    this.stopIfCancelled();
    const session = await BenchSession.open(this.#port);
    this.#session = session;
    this.stopIfCancelled();
    if (setup !== undefined) await session.configure(setup);
    this.stopIfCancelled();
    return session;
  }

  /** Called before everything that could turn an output on. */
  stopIfCancelled(): void {
    if (this.#cancelled) throw new Cancelled();
  }

  /** Everything off now; the procedure ends as cancelled. Harmless when it has ended already. */
  cancel(): void {
    if (this.#cancelled) return;
    this.#cancelled = true;
    // What this rejects with, the procedure itself hears too.
    if (this.#session) this.#offAsked = this.#session.off().catch(() => undefined);
    else this.#port?.close().catch(() => undefined);
  }

  /** Everything off, and the port free. Never throws. */
  async close(): Promise<void> {
    await this.#offAsked;
    await this.#session?.close();
    await this.#port?.close().catch(() => undefined);
  }

  /** How a procedure ended that this error, or its cancelling, has broken off. `pinOf` names the pin at a channel. */
  brokenOff(error: unknown, pinOf: (channel: number) => string | undefined = () => undefined): BrokenOff {
    const outputs = this.#session && {
      outputs: this.#session.offIsConfirmed ? ("confirmed-off" as const) : ("silence" as const),
    };
    if (this.#cancelled) return { kind: "cancelled", ...outputs };
    return { kind: "could-not-test", ...troubleOf(error, pinOf), ...outputs };
  }
}
