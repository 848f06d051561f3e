import type { BenchPort, Clock, PortClosed } from "@pinwalk/host/bench/port.js";
import { SeededRandom } from "./seeded-random.js";
import { everyMishap, type Mishap, SpoiledWire } from "./spoiled-wire.js";

/** What is done to a line. Milliseconds of the port's clock, from its opening. */
export interface LineAttack {
  readonly seed: number;
  /** Chance of a mishap for each byte to the bench, and to the host. */
  readonly perByteToBench: number;
  readonly perByteToHost: number;
  /** Which mishaps; every one unless given. */
  readonly mishapKinds?: readonly Mishap[];
  /** When mishaps begin and end; the whole time unless given. */
  readonly fromMs?: number;
  readonly untilMs?: number;
  /** The cable is pulled: the host is told, and nothing arrives any more. */
  readonly unplugAtMs?: number;
  /** A direction falls silent, and nobody is told. */
  readonly muteToBenchAtMs?: number;
  readonly muteToHostAtMs?: number;
}

/** A port between a host and a bench whose line is under attack. Closing it leaves the port behind it open, to be looked at. */
export class AttackedPort implements BenchPort {
  readonly path: string;
  readonly clock: Clock;
  readonly #toBench: SpoiledWire;
  readonly #toHost: SpoiledWire;
  #bytesListener: ((bytes: Uint8Array) => void) | undefined;
  #closedListener: ((why: PortClosed) => void) | undefined;
  #closed: PortClosed | undefined;
  #unheard: Uint8Array[] = [];

  constructor(behind: BenchPort, attack: LineAttack) {
    const { seed, perByteToBench, perByteToHost, unplugAtMs, muteToBenchAtMs, muteToHostAtMs } = attack;
    const { fromMs = 0, untilMs = Number.POSITIVE_INFINITY, mishapKinds = everyMishap } = attack;
    const { path, clock } = behind;
    this.path = path;
    this.clock = clock;
    const spoiled = (salt: number, perByte: number, deliver: (bytes: Uint8Array) => void): SpoiledWire => {
      const chance = () => (clock.nowMs() >= fromMs && clock.nowMs() < untilMs ? perByte : 0);
      return new SpoiledWire(clock, new SeededRandom(2 * seed + salt), mishapKinds, chance, deliver);
    };
    this.#toBench = spoiled(0, perByteToBench, (bytes) => behind.write(bytes));
    this.#toHost = spoiled(1, perByteToHost, (bytes) => this.#hear(bytes));
    behind.onBytes((bytes) => this.#toHost.push(bytes));
    if (unplugAtMs !== undefined) this.clock.after(unplugAtMs, () => this.#end({ kind: "lost", detail: "unplugged" }));
    if (muteToBenchAtMs !== undefined) this.clock.after(muteToBenchAtMs, () => this.#toBench.mute());
    if (muteToHostAtMs !== undefined) this.clock.after(muteToHostAtMs, () => this.#toHost.mute());
  }

  /** Mishaps so far, both ways. */
  get mishaps(): number {
    return this.#toBench.mishaps + this.#toHost.mishaps;
  }

  write(bytes: Uint8Array): void {
    if (this.#closed === undefined) this.#toBench.push(bytes);
  }

  onBytes(listener: (bytes: Uint8Array) => void): void {
    this.#bytesListener = listener;
    for (const bytes of this.#unheard.splice(0)) listener(bytes);
  }

  onClosed(listener: (why: PortClosed) => void): void {
    this.#closedListener = listener;
    if (this.#closed !== undefined) listener(this.#closed);
  }

  async close(): Promise<void> {
    this.#end({ kind: "asked" });
  }

  #hear(bytes: Uint8Array): void {
    if (this.#closed !== undefined) return;
    if (this.#bytesListener === undefined) this.#unheard.push(bytes);
    else this.#bytesListener(bytes);
  }

  #end(why: PortClosed): void {
    if (this.#closed !== undefined) return;
    this.#closed = why;
    this.#toBench.mute();
    this.#toHost.mute();
    this.#closedListener?.(why);
  }
}
