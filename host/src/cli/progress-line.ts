/** Where the person's eyes are: on a terminal, on a log that was asked for, or nowhere. */
export type ProgressMode = "terminal" | "log" | "none";

/**
 * What a long command is doing, on stderr. On a terminal one line is written over as work goes on, and cleared before
 * anything else is printed; in a log each step is a line of its own; otherwise nothing, so that pipes stay clean.
 */
export class ProgressLine {
  readonly #mode: ProgressMode;
  #shown = false;

  constructor(mode: ProgressMode) {
    this.#mode = mode;
  }

  /** A new step of the work. */
  step(text: string): void {
    if (this.#mode === "log") process.stderr.write(`${text}\n`);
    else this.detail(text);
  }

  /** What happens within a step; too much for a log. */
  detail(text: string): void {
    if (this.#mode !== "terminal") return;
    // A terminal that does not know its size says 0.
    const room = (process.stderr.columns || 80) - 1;
    process.stderr.write(`\r\u001b[2K${text.slice(0, room)}`);
    this.#shown = true;
  }

  clear(): void {
    if (!this.#shown) return;
    process.stderr.write("\r\u001b[2K");
    this.#shown = false;
  }
}
