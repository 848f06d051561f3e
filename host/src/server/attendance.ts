/**
 * Counts the browsers that could stop a walk. When the last one has been gone for `graceMs`, `onNobody` is called once;
 * a page that is merely loaded again is back before that.
 */
export class Attendance {
  readonly #graceMs: number;
  readonly #onNobody: () => void;
  #present = 0;
  #timer: NodeJS.Timeout | undefined;

  constructor(graceMs: number, onNobody: () => void) {
    this.#graceMs = graceMs;
    this.#onNobody = onNobody;
  }

  /** Someone has come; call what is returned, once, when they have gone. */
  enter(): () => void {
    this.#present += 1;
    clearTimeout(this.#timer);
    let here = true;
    return () => {
      if (!here) return;
      here = false;
      this.#present -= 1;
      if (this.#present === 0) this.#timer = setTimeout(this.#onNobody, this.#graceMs);
    };
  }

  close(): void {
    clearTimeout(this.#timer);
  }
}
