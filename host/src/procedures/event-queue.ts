/**
 * Carries events from a running procedure to its one listener, in order. The procedure never waits for the listener: a
 * slow reader must not keep an output on.
 */
export class EventQueue<Event> {
  readonly #events: Event[] = [];
  #ended = false;
  #wake: (() => void) | undefined;

  push(event: Event): void {
    if (this.#ended) return;
    this.#events.push(event);
    this.#wake?.();
  }

  end(): void {
    this.#ended = true;
    this.#wake?.();
  }

  /** Resolves with the next event, or with undefined when the procedure has ended and everything was read. */
  async next(): Promise<Event | undefined> {
    while (this.#events.length === 0) {
      if (this.#ended) return undefined;
      await new Promise<void>((resolve) => {
        this.#wake = resolve;
      });
      this.#wake = undefined;
    }
    return this.#events.shift();
  }
}
