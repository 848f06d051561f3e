import type { WatchBlock, WatchGap } from "../../bench/watch-values.js";
import type { FinePiece, StripColumns } from "./strip-contract.js";

/** Windows in one stretch of the rough columns: 128 ms. */
const roughWindows = 64;
/** What a late joiner gets window by window: ten seconds. */
const mostFineWindows = 5000;
const mostGaps = 500;

interface Rough {
  at: number[];
  least: number[];
  greatest: number[];
  ohms: (number | null)[];
}

interface Stretch {
  readonly at: number;
  least: number;
  greatest: number;
  ohms: number | null;
}

const noRough = (): Rough => ({ at: [], least: [], greatest: [], ohms: [] });
const thousandths = (value: number) => Math.round(value * 1000);

/**
 * One pin's strip: the newest windows whole, all of them in stretches, the oldest forgotten. What nobody was sent yet is apart, so
 * that whoever joins in between gets everything once.
 */
export class PinStrip {
  readonly #mostRough: number;
  readonly #fine: FinePiece[] = [];
  #fineCount = 0;
  readonly #rough = noRough();
  #gaps: readonly WatchGap[] = [];
  #unsentFine: FinePiece[] = [];
  #unsentRough = noRough();
  #unsentGaps: WatchGap[] = [];
  /** The stretch that is being filled. */
  #open: Stretch | null = null;

  constructor(mostRough: number) {
    this.#mostRough = mostRough;
  }

  add({ first, windows }: WatchBlock, ohms: number | undefined): void {
    const piece = {
      first,
      least: windows.map((window) => thousandths(window.least)),
      greatest: windows.map((window) => thousandths(window.greatest)),
    };
    this.#unsentFine.push(piece);
    for (const [index, least] of piece.least.entries()) {
      this.#extend(first + index, least, piece.greatest[index] ?? least);
    }
    if (this.#open && ohms !== undefined) this.#open.ohms = thousandths(ohms);
  }

  addGap(gap: WatchGap): void {
    this.#unsentGaps.push(gap);
  }

  /** What was sent so far; `fine` asks for single windows too. */
  sent({ fine }: { readonly fine: boolean }): StripColumns {
    return { fine: fine ? this.#fine : [], rough: this.#rough, gaps: this.#gaps };
  }

  takeUnsent(): StripColumns | undefined {
    const columns = { fine: this.#unsentFine, rough: this.#unsentRough, gaps: this.#unsentGaps };
    if (columns.fine.length === 0 && columns.gaps.length === 0) return undefined;
    this.#unsentFine = [];
    this.#unsentRough = noRough();
    this.#unsentGaps = [];
    this.#keep(columns);
    return columns;
  }

  #extend(window: number, least: number, greatest: number): void {
    const at = window - (window % roughWindows);
    if (this.#open && this.#open.at !== at) this.#close(this.#open);
    if (this.#open) {
      this.#open.least = Math.min(this.#open.least, least);
      this.#open.greatest = Math.max(this.#open.greatest, greatest);
    } else this.#open = { at, least, greatest, ohms: null };
  }

  #close({ at, least, greatest, ohms }: Stretch): void {
    const rough = this.#unsentRough;
    rough.at.push(at);
    rough.least.push(least);
    rough.greatest.push(greatest);
    rough.ohms.push(ohms);
    this.#open = null;
  }

  #keep({ fine, rough, gaps }: { fine: readonly FinePiece[]; rough: Rough; gaps: readonly WatchGap[] }): void {
    for (const piece of fine) this.#fineCount += piece.least.length;
    this.#fine.push(...fine);
    while (this.#fineCount > mostFineWindows) this.#fineCount -= this.#fine.shift()?.least.length ?? this.#fineCount;
    this.#rough.at.push(...rough.at);
    this.#rough.least.push(...rough.least);
    this.#rough.greatest.push(...rough.greatest);
    this.#rough.ohms.push(...rough.ohms);
    const over = this.#rough.at.length - this.#mostRough;
    // Now and then and many at once: cutting off the first of a long row costs as much as cutting off hundreds.
    if (over > 0)
      for (const column of Object.values(this.#rough)) column.splice(0, over + Math.ceil(this.#mostRough / 8));
    this.#gaps = [...this.#gaps, ...gaps].slice(-mostGaps);
  }
}
