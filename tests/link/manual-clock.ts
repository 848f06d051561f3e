import type { Clock, Timer } from "@pinwalk/host/bench/port.js";

/** A clock that stands still until a test moves it; the timers then run in order, each at its own time. */
export class ManualClock implements Clock {
  private now = 0;
  private order = 0;
  private timers: { readonly atMs: number; readonly order: number; readonly run: () => void }[] = [];

  nowMs(): number {
    return this.now;
  }

  after(delayMs: number, run: () => void): Timer {
    const timer = { atMs: this.now + delayMs, order: this.order++, run };
    this.timers.push(timer);
    return { cancel: () => this.remove(timer) };
  }

  get waiting(): number {
    return this.timers.length;
  }

  /** Lets so much time pass. */
  async pass(durationMs: number): Promise<void> {
    const endMs = this.now + durationMs;
    await settled();
    for (let next = this.next(); next && next.atMs <= endMs; next = this.next()) await this.fire(next);
    this.now = endMs;
  }

  /** Lets time pass until the promise has an answer, at most so long; gives the answer or throws what it was rejected with. */
  async until<Result>(promise: Promise<Result>, mostMs = 60_000): Promise<Result> {
    let done = false;
    const mark = () => {
      done = true;
    };
    promise.then(mark, mark);
    const endMs = this.now + mostMs;
    await settled();
    while (!done) {
      const next = this.next();
      if (!next) throw new Error("nothing will happen any more, and there is no answer yet");
      if (next.atMs > endMs) throw new Error(`no answer within ${mostMs} ms`);
      await this.fire(next);
    }
    return await promise;
  }

  private async fire(next: { readonly atMs: number; readonly order: number; readonly run: () => void }): Promise<void> {
    this.now = next.atMs;
    this.remove(next);
    next.run();
    await settled();
  }

  private next() {
    return this.timers.toSorted((a, b) => a.atMs - b.atMs || a.order - b.order)[0];
  }

  private remove(timer: { readonly order: number }): void {
    this.timers = this.timers.filter((one) => one.order !== timer.order);
  }
}

/** Until every promise that can go on without time passing has gone on. */
function settled(): Promise<void> {
  return new Promise((resolve) => {
    setImmediate(resolve);
  });
}
