import { create } from "qrcode";

/**
 * What the QR code of a record says: a word, the kind of hash and the hash. Capitals, digits and `-/:` alone, which the
 * code packs densest (ISO/IEC 18004, alphanumeric mode).
 */
export function qrText(hash: string): string {
  return `PINWALK-RECORD/1:SHA256:${hash.toUpperCase()}`;
}

/** A square of dark and light modules without its quiet zone, which must be 4 modules wide (ISO/IEC 18004). */
export interface QrModules {
  readonly size: number;
  isDark(row: number, column: number): boolean;
}

export const quietModules = 4;

/** The QR code of a record at error correction level M (about 15 % may be lost). */
export function recordQr(hash: string): QrModules {
  const { modules } = create(qrText(hash), { errorCorrectionLevel: "M" });
  return { size: modules.size, isDark: (row, column) => modules.get(row, column) === 1 };
}

/** The dark modules as one SVG path in module units, the quiet zone left out: one rectangle a run of modules. */
export function qrPath(modules: QrModules): string {
  const runs: string[] = [];
  for (let row = 0; row < modules.size; row++) {
    for (let column = 0; column < modules.size; ) {
      if (!modules.isDark(row, column)) {
        column++;
        continue;
      }
      const from = column;
      while (column < modules.size && modules.isDark(row, column)) column++;
      runs.push(`M${from} ${row}h${column - from}v1h-${column - from}z`);
    }
  }
  return runs.join("");
}
