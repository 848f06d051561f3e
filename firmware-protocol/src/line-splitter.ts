const lineFeed = 0x0a;
const carriageReturn = 0x0d;

/** One line without its end, or one that grew past the limit and was thrown away; `bytes` then counts all of it. */
export type SplitLine =
  | { readonly kind: "line"; readonly bytes: Uint8Array }
  | { readonly kind: "long"; readonly bytes: number };

/**
 * Cuts a stream into lines at line feeds, whatever pieces it arrives in. Keeps at most `mostBytes` bytes, so that a board that
 * babbles without ever ending its line cannot fill the memory; the whole of such a line is reported once, when it ends.
 * A carriage return before the line feed counts as a byte of the line and is taken off.
 */
export class LineSplitter {
  private readonly kept: Uint8Array;
  private seen = 0;

  constructor(readonly mostBytes: number) {
    this.kept = new Uint8Array(mostBytes);
  }

  /** The lines that these bytes end, in their order. */
  push(bytes: Uint8Array): SplitLine[] {
    const lines: SplitLine[] = [];
    for (const byte of bytes) {
      if (byte === lineFeed) {
        lines.push(this.finish());
      } else {
        if (this.seen < this.mostBytes) this.kept[this.seen] = byte;
        this.seen += 1;
      }
    }
    return lines;
  }

  /** Forgets a line that has begun. */
  reset(): void {
    this.seen = 0;
  }

  private finish(): SplitLine {
    const length = this.seen;
    this.seen = 0;
    if (length > this.mostBytes) return { kind: "long", bytes: length };
    const end = length > 0 && this.kept[length - 1] === carriageReturn ? length - 1 : length;
    return { kind: "line", bytes: this.kept.slice(0, end) };
  }
}
