/** One line as it went over a port; `cut` where it was longer than anything either side may send. */
export interface LoggedLine {
  /** Counts all lines of the log from 1. */
  readonly seq: number;
  /** Milliseconds since 1970, of the host's clock. */
  readonly at: number;
  readonly path: string;
  readonly direction: "to-bench" | "from-bench";
  /** Without the line's end. */
  readonly bytes: Uint8Array;
  readonly cut: boolean;
}

/** A port that sends nothing but one endless line still shows what it sends. */
const mostLineBytes = 200;
const lineFeed = 0x0a;
const carriageReturn = 0x0d;

/** The last lines that went over the ports, the oldest forgotten first. Lines are kept as they came; nothing is made of them here. */
export class SerialLog {
  readonly #most: number;
  readonly #lines: LoggedLine[] = [];
  #last = 0;

  constructor(most = 5000) {
    this.#most = most;
  }

  /** Number of the newest line. */
  get last(): number {
    return this.#last;
  }

  /** Takes what goes one way over one port, in whatever pieces it comes. */
  tap(path: string, direction: LoggedLine["direction"]): (bytes: Uint8Array) => void {
    let held = new Uint8Array(mostLineBytes);
    let length = 0;
    const end = (cut: boolean): void => {
      const isReturned = !cut && held[length - 1] === carriageReturn;
      this.#add({ path, direction, bytes: held.subarray(0, isReturned ? length - 1 : length), cut });
      held = new Uint8Array(mostLineBytes);
      length = 0;
    };
    return (bytes) => {
      for (const byte of bytes) {
        // A greeting begins with an empty line, which says nothing.
        if (byte === lineFeed && length === 0) continue;
        if (byte === lineFeed) end(false);
        else {
          held[length] = byte;
          length += 1;
          if (length === mostLineBytes) end(true);
        }
      }
    };
  }

  /** Lines after this number, the oldest first, at most so many; of more, the newest. */
  after(seq: number, most: number, path?: string): readonly LoggedLine[] {
    const wanted = this.#lines.filter((line) => line.seq > seq && (path === undefined || line.path === path));
    return wanted.slice(-most);
  }

  #add(line: Omit<LoggedLine, "seq" | "at">): void {
    this.#last += 1;
    this.#lines.push({ ...line, seq: this.#last, at: Date.now() });
    // Cut back now and then, not with every line.
    if (this.#lines.length >= 2 * this.#most) this.#lines.splice(0, this.#lines.length - this.#most);
  }
}
