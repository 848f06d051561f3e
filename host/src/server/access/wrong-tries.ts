/** Wrong codes that an address may try, and how long it must wait after them. */
const mostWrong = 5;
const lockedMs = 60_000;
/** So many addresses are remembered; whoever has that many gets no further than the code's own limit. */
const mostAddresses = 1000;

/** Counts each address's wrong tries at pairing; after five in a row it is not listened to for a minute. */
export class WrongTries {
  readonly #byAddress = new Map<string, { count: number; lastAt: number }>();

  /** How long this address must still wait, milliseconds; 0 where it may try. */
  waitMs(address: string, now = Date.now()): number {
    const tries = this.#byAddress.get(address);
    if (!tries || tries.count < mostWrong) return 0;
    return Math.max(0, tries.lastAt + lockedMs - now);
  }

  note(address: string, now = Date.now()): void {
    const before = this.#byAddress.get(address);
    const fresh = before !== undefined && now - before.lastAt < lockedMs;
    // Put last, so that the first of the map is the one longest quiet.
    this.#byAddress.delete(address);
    this.#byAddress.set(address, { count: fresh ? before.count + 1 : 1, lastAt: now });
    if (this.#byAddress.size <= mostAddresses) return;
    const [oldest] = this.#byAddress.keys();
    if (oldest !== undefined) this.#byAddress.delete(oldest);
  }

  forget(address: string): void {
    this.#byAddress.delete(address);
  }
}
