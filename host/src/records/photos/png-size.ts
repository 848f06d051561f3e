import { crc32, inflateSync } from "node:zlib";
import type { PictureReading } from "./picture-size.js";

/** Unpacked in one piece in memory: 200 million bytes are 66 million pixels of 8-bit colour. */
const mostUnpackedBytes = 200_000_000;

/** Channels by colour type (PNG specification, table 11.1). */
const channelsOf: Readonly<Record<number, number>> = { 0: 1, 2: 3, 3: 1, 4: 2, 6: 4 };

/** Passes of Adam7 interlacing (PNG specification 8.2): first column and row, step in columns and rows. */
const adam7 = [
  [0, 0, 8, 8],
  [4, 0, 8, 8],
  [0, 4, 4, 8],
  [2, 0, 4, 4],
  [0, 2, 2, 4],
  [1, 0, 2, 2],
  [0, 1, 1, 2],
] as const;

interface Header {
  readonly width: number;
  readonly height: number;
  readonly bitsPerPixel: number;
  readonly interlaced: boolean;
}

/** Bytes of the picture once unpacked: each row has a filter byte in front (PNG specification 7.2). */
function unpackedBytes({ width, height, bitsPerPixel, interlaced }: Header): number {
  const rows = (columns: number, count: number): number =>
    columns === 0 ? 0 : count * (1 + Math.ceil((columns * bitsPerPixel) / 8));
  if (!interlaced) return rows(width, height);
  return adam7.reduce(
    (sum, [x, y, stepX, stepY]) =>
      sum + rows(Math.max(0, Math.ceil((width - x) / stepX)), Math.max(0, Math.ceil((height - y) / stepY))),
    0,
  );
}

function unpacksTo(parts: readonly Buffer[], expected: number): boolean {
  try {
    // The bound keeps a small file that unpacks to gigabytes from being unpacked at all.
    return inflateSync(Buffer.concat(parts), { maxOutputLength: expected }).length === expected;
  } catch {
    return false;
  }
}

/**
 * Walks a PNG (W3C PNG specification) chunk by chunk with its checksums, and unpacks its pixels within the size that its header
 * promises. Anything behind its end is refused.
 */
export function readPng(bytes: Buffer): PictureReading {
  let at = 8;
  let header: Header | undefined;
  const pixels: Buffer[] = [];
  while (at + 12 <= bytes.length) {
    const length = bytes.readUInt32BE(at);
    const type = bytes.toString("latin1", at + 4, at + 8);
    const end = at + 8 + length;
    if (end + 4 > bytes.length) return { problem: "it breaks off before its end" };
    if (crc32(bytes.subarray(at + 4, end)) !== bytes.readUInt32BE(end))
      return { problem: `its ${type} part is damaged` };
    const data = bytes.subarray(at + 8, end);
    if (!header) {
      const channels = channelsOf[data[9] ?? -1];
      if (type !== "IHDR" || length !== 13 || channels === undefined) return { problem: "its header is wrong" };
      const bits = data[8] ?? 0;
      if (![1, 2, 4, 8, 16].includes(bits)) return { problem: "its header is wrong" };
      header = {
        width: data.readUInt32BE(0),
        height: data.readUInt32BE(4),
        bitsPerPixel: channels * bits,
        interlaced: data[12] === 1,
      };
      if (unpackedBytes(header) > mostUnpackedBytes) return { problem: "it is too large when unpacked" };
    } else if (type === "IDAT") pixels.push(data);
    else if (type === "IEND") {
      if (end + 4 !== bytes.length) return { problem: "something else follows behind its end" };
      if (!unpacksTo(pixels, unpackedBytes(header))) return { problem: "its pixels do not unpack to its size" };
      return { type: "image/png", width: header.width, height: header.height };
    }
    at = end + 4;
  }
  return { problem: "it breaks off before its end" };
}
