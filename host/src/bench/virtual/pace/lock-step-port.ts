import { VirtualBenchPort } from "./virtual-bench-port.js";

/**
 * How far emulated time goes on after a write when the host has no timer running: long enough for an answer. After
 * that, and while the host has neither timers nor bytes, it stands still.
 */
const ANSWER_MS = 100;
/** Least step, so that a host that asks for timers without delay does not stop time for ever: one microsecond. */
const LEAST_STEP_MS = 0.001;

/**
 * Pace "fast": host and bench take turns. The bench runs to the host's next timer or to the end of its own next line,
 * whichever comes first; then it stands still until the host has dealt with it. So the host's thinking takes no
 * emulated time, nobody can be judged too slow, and every run of the same seed is the same.
 */
export class LockStepPort extends VirtualBenchPort {
  #nowMs = 0;
  #outgoing: Uint8Array[] = [];
  #answerUntilMs = ANSWER_MS;
  #benchRuns = false;
  #turnComing = false;

  override write(bytes: Uint8Array): void {
    if (this.closed) return;
    this.#outgoing.push(bytes.slice());
    this.#answerUntilMs = this.#nowMs + ANSWER_MS;
    this.#giveTurn();
  }

  protected override nowMs(): number {
    return this.#nowMs;
  }

  protected override timerSooner(): void {
    this.#giveTurn();
  }

  protected override advancedTo(nowMs: number, deliver: () => void): void {
    this.#nowMs = nowMs;
    this.#benchRuns = false;
    try {
      deliver();
      this.clock.runDue();
    } finally {
      this.#giveTurn();
    }
  }

  /** Lets the bench run on, after everything that the host does without waiting for time has been done. */
  #giveTurn(): void {
    if (this.closed || this.#benchRuns || this.#turnComing) return;
    this.#turnComing = true;
    // Two rounds of the event loop: promises and ticks are drained after the first, and what those put off after the second.
    setImmediate(() => setImmediate(() => this.#go()));
  }

  #go(): void {
    this.#turnComing = false;
    if (this.closed) return;
    const dueMs = this.clock.nextDueMs ?? this.#answerUntilMs;
    if (this.clock.nextDueMs === undefined && dueMs <= this.#nowMs) return;
    const bytes = Buffer.concat(this.#outgoing);
    this.#outgoing = [];
    this.#benchRuns = true;
    this.post({ kind: "go", untilMs: Math.max(dueMs, this.#nowMs + LEAST_STEP_MS), bytes });
  }
}
