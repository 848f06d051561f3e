import { readFileSync } from "node:fs";

/** One row of the golden lines; the columns are described in fixtures/transcripts/README.md. */
export interface TranscriptRow {
  readonly direction: string;
  readonly bytes: Uint8Array;
  readonly kind: string;
  readonly tag: string;
  readonly name: string;
  readonly values: string;
  readonly where: string;
}

export const transcriptFiles = ["requests.txt", "refused.txt", "garbled.txt", "from-bench.txt", "garbage.txt"] as const;

export function transcriptRows(file: (typeof transcriptFiles)[number]): TranscriptRow[] {
  const text = readFileSync(new URL(`../../fixtures/transcripts/${file}`, import.meta.url), "utf8");
  return text.split("\n").flatMap((row, at) => {
    if (row === "" || row.startsWith("#")) return [];
    const [direction = "", line = "", kind = "", tag = "", name = "", values = "", ...more] = row.split("\t");
    if (values === "" || more.length > 0) throw new Error(`${file}:${at + 1} has not six columns`);
    return [{ direction, bytes: bytesOf(line), kind, tag, name, values, where: `${file}:${at + 1}` }];
  });
}

function bytesOf(escaped: string): Uint8Array {
  const text = escaped.replace(/\\x([0-9A-F]{2})/g, (_all, hex: string) =>
    String.fromCharCode(Number.parseInt(hex, 16)),
  );
  return Uint8Array.from(text, (character) => character.charCodeAt(0));
}

/** Fields as the values column has them. */
export function valuesColumn(fields: Readonly<Record<string, unknown>>): string {
  const pairs = Object.entries(fields).map(([name, value]) => {
    const shown = Array.isArray(value) ? value.map((one) => one ?? "-").join(",") : String(value);
    return `${name}=${shown}`;
  });
  return pairs.join(" ") || "-";
}
