import { roughWindows, type StripRing } from "../live/strip-ring.js";

/** Up to here single windows are looked at: half a minute. */
const mostFineWindows = 16_384;

/** Least and greatest in each pixel column; NaN where nothing was seen. */
export interface ColumnRanges {
  readonly least: Float32Array;
  readonly greatest: Float32Array;
}

export function columnRanges(width: number): ColumnRanges {
  return { least: new Float32Array(width), greatest: new Float32Array(width) };
}

interface Rings {
  readonly fine: StripRing;
  readonly rough: StripRing;
}

/**
 * Puts a stretch of a strip into pixel columns. Each column spans everything that falls on it, so that a single window of 2 ms is
 * drawn whatever the scale.
 */
export function fillColumns({ fine, rough }: Rings, start: number, windows: number, into: ColumnRanges): void {
  into.least.fill(Number.NaN);
  into.greatest.fill(Number.NaN);
  const end = start + windows;
  const roughEnd = rough.length > 0 ? rough.at(rough.length - 1) + roughWindows : 0;
  const fineStart = fine.length > 0 ? fine.at(0) : end;
  const fineFrom = windows > mostFineWindows ? Math.max(roughEnd, fineStart) : fineStart;
  place(
    rough,
    { start, windows, from: start - roughWindows, until: Math.min(fineFrom, end), each: roughWindows },
    into,
  );
  place(fine, { start, windows, from: Math.max(fineFrom, start), until: end, each: 1 }, into);
}

interface Stretch {
  readonly start: number;
  readonly windows: number;
  readonly from: number;
  readonly until: number;
  /** Windows in one piece. */
  readonly each: number;
}

function place(
  ring: StripRing,
  { start, windows, from, until, each }: Stretch,
  { least, greatest }: ColumnRanges,
): void {
  const width = least.length;
  const perWindow = width / windows;
  for (let index = ring.from(from); index < ring.length; index += 1) {
    const at = ring.at(index);
    if (at >= until) return;
    const first = Math.max(0, Math.floor((at - start) * perWindow));
    const last = Math.min(width - 1, Math.max(first, Math.ceil((at + each - start) * perWindow) - 1));
    const low = ring.least(index);
    const high = ring.greatest(index);
    for (let x = first; x <= last; x += 1) {
      // NaN is neither smaller nor greater than anything.
      if (!((least[x] ?? 0) <= low)) least[x] = low;
      if (!((greatest[x] ?? 0) >= high)) greatest[x] = high;
    }
  }
}
