/** One window of a watch: mV or mA, in steps of 4, up to 16380. */
export interface PackedWindow {
  readonly least: number;
  readonly mean: number;
  readonly greatest: number;
  /** Crossings of the watch's limit upwards, 0 to 63. */
  readonly edges: number;
}

const digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789.-";
const unit = 4;
const greatestDigits = 4095;
const characters = 7;

/**
 * Reads the `packed` field of a `windows` push. The codec has seen to its form.
 *
 *     unpackWindows("AAABACD") → [{ least: 0, mean: 4, greatest: 8, edges: 3 }]
 */
export function unpackWindows(packed: string): PackedWindow[] {
  const windows: PackedWindow[] = [];
  for (let at = 0; at + characters <= packed.length; at += characters) {
    windows.push({
      least: pairAt(packed, at) * unit,
      mean: pairAt(packed, at + 2) * unit,
      greatest: pairAt(packed, at + 4) * unit,
      edges: digits.indexOf(packed.charAt(at + 6)),
    });
  }
  return windows;
}

/** The other way, rounded to the step and held within the range. */
export function packWindows(windows: readonly PackedWindow[]): string {
  return windows
    .map(
      ({ least, mean, greatest, edges }) =>
        pair(least) + pair(mean) + pair(greatest) + digits.charAt(Math.min(63, edges)),
    )
    .join("");
}

function pairAt(packed: string, at: number): number {
  return digits.indexOf(packed.charAt(at)) * 64 + digits.indexOf(packed.charAt(at + 1));
}

function pair(value: number): string {
  const steps = Math.min(greatestDigits, Math.max(0, Math.round(value / unit)));
  return digits.charAt(steps >> 6) + digits.charAt(steps & 63);
}
