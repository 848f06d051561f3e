/**
 * Collects whatever arrives and hands it over once per animation frame, so that a burst of messages costs one drawing.
 * A hidden page gets no frames; a timer then keeps what has arrived from piling up.
 */
export class FrameFlush {
  readonly #flush: () => void;
  #waiting = false;

  constructor(flush: () => void) {
    this.#flush = flush;
  }

  /** Asks for a flush on the next frame; asking again before it changes nothing. */
  ask(): void {
    if (this.#waiting) return;
    this.#waiting = true;
    const run = () => {
      this.#waiting = false;
      this.#flush();
    };
    if (document.hidden) setTimeout(run, 250);
    else requestAnimationFrame(run);
  }
}
