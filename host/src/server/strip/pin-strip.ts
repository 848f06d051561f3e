import type { WatchBlock, WatchGap } from "../../bench/watch-values.js";
import type { FinePiece, StripColumns } from "./strip-contract.js";

/** Windows in one stretch of the rough columns: 128 ms. */
export const roughWindows = 64;
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

/** One pin's strip: the newest windows whole, all of them in stretches, the oldest forgotten; and what nobody was sent yet. */
export class PinStrip {
  readonly #mostRough: number;
  #fine: FinePiece[] = [];
  #fineCount = 0;
  #rough = noRough();
  #gaps: WatchGap[] = [];
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
    this.#fine.push(piece);
    this.#unsentFine.push(piece);
    this.#fineCount += windows.length;
    while (this.#fineCount > mostFineWindows) this.#fineCount -= this.#fine.shift()?.least.length ?? this.#fineCount;
    for (const [index, least] of piece.least.entries()) {
      this.#extend(first + index, least, piece.greatest[index] ?? least);
    }
    if (this.#open && ohms !== undefined) this.#open.ohms = thousandths(ohms);
  }

  addGap(gap: WatchGap): void {
    this.#unsentGaps.push(gap);
    this.#gaps = [...this.#gaps.slice(1 - mostGaps), gap];
  }

  whole({ fine }: { readonly fine: boolean }): StripColumns {
    return { fine: fine ? this.#fine : [], rough: this.#rough, gaps: this.#gaps };
  }

  takeUnsent(): StripColumns | undefined {
    if (this.#unsentFine.length === 0 && this.#unsentGaps.length === 0) return undefined;
    const columns = { fine: this.#unsentFine, rough: this.#unsentRough, gaps: this.#unsentGaps };
    this.#unsentFine = [];
    this.#unsentRough = noRough();
    this.#unsentGaps = [];
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
    for (const columns of [this.#rough, this.#unsentRough]) {
      columns.at.push(at);
      columns.least.push(least);
      columns.greatest.push(greatest);
      columns.ohms.push(ohms);
    }
    if (this.#rough.at.length > this.#mostRough) {
      // Now and then and many at once: cutting off the first of a long row costs as much as cutting off hundreds.
      const cut = Math.ceil(this.#mostRough / 8);
      for (const column of Object.values(this.#rough)) column.splice(0, cut);
    }
    this.#open = null;
  }
}
