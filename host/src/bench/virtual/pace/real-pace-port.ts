import { VirtualBenchPort } from "./virtual-bench-port.js";

/** How far the clock may run on between two reports of the worker, which come at least every 20 ms. */
const MOST_AHEAD_MS = 30;

/**
 * Pace "real": the worker keeps emulated time at the wall clock. The host's clock is emulated time too, so that a
 * machine too slow for the emulation makes both sides slow alike and neither misjudges the other.
 */
export class RealPacePort extends VirtualBenchPort {
  #reportedMs = 0;
  #reportedAtWallMs = performance.now();
  #latestMs = 0;
  #alarm: NodeJS.Timeout | undefined;

  override write(bytes: Uint8Array): void {
    this.post({ kind: "bytes", bytes: bytes.slice() });
  }

  protected override nowMs(): number {
    const sinceMs = Math.min(performance.now() - this.#reportedAtWallMs, MOST_AHEAD_MS);
    this.#latestMs = Math.max(this.#latestMs, this.#reportedMs + sinceMs);
    return this.#latestMs;
  }

  protected override timerSooner(): void {
    clearTimeout(this.#alarm);
    const dueMs = this.clock.nextDueMs;
    if (this.closed || dueMs === undefined) return;
    this.#alarm = setTimeout(
      () => {
        try {
          if (!this.closed) this.clock.runDue();
        } finally {
          this.timerSooner();
        }
      },
      Math.max(1, dueMs - this.nowMs()),
    );
  }

  protected override stopped(): void {
    clearTimeout(this.#alarm);
  }

  protected override advancedTo(nowMs: number, deliver: () => void): void {
    this.#reportedMs = nowMs;
    this.#reportedAtWallMs = performance.now();
    deliver();
  }
}
