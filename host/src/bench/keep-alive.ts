import type { Clock, Timer } from "./port.js";

/**
 * Keeps an armed bench from falling silent: after `everyMs` without a line sent, `ping` runs. Counts the rounds in which nothing
 * was heard; when there are `mostSilentRounds` in a row, `onSilent` runs once. Milliseconds of the port's clock.
 */
export class KeepAlive {
  private timer: Timer | undefined;
  private silentRounds = 0;

  constructor(
    private readonly clock: Clock,
    private readonly hooks: {
      readonly everyMs: number;
      readonly mostSilentRounds: number;
      readonly ping: () => void;
      readonly onSilent: () => void;
    },
  ) {}

  get running(): boolean {
    return this.timer !== undefined;
  }

  start(): void {
    if (this.running) return;
    this.silentRounds = 0;
    this.schedule();
  }

  stop(): void {
    this.timer?.cancel();
    this.timer = undefined;
  }

  /** A line went out: the next ping can wait. */
  sent(): void {
    if (!this.running) return;
    this.timer?.cancel();
    this.schedule();
  }

  /** A line of the bench came in. */
  heard(): void {
    this.silentRounds = 0;
  }

  private schedule(): void {
    this.timer = this.clock.after(this.hooks.everyMs, () => this.round());
  }

  private round(): void {
    this.silentRounds += 1;
    if (this.silentRounds > this.hooks.mostSilentRounds) {
      this.stop();
      this.hooks.onSilent();
      return;
    }
    this.schedule();
    this.hooks.ping();
  }
}
