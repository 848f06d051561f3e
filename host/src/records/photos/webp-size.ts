import type { PictureReading } from "./picture-size.js";

function lossySize(data: Buffer): { width: number; height: number } | undefined {
  // A key frame begins with the start code 9D 01 2A, then two 14-bit sizes (RFC 6386 section 9.1).
  if (data.length < 10 || ((data[0] ?? 1) & 1) !== 0 || data.readUIntBE(3, 3) !== 0x9d012a) return undefined;
  return { width: data.readUInt16LE(6) & 0x3fff, height: data.readUInt16LE(8) & 0x3fff };
}

function losslessSize(data: Buffer): { width: number; height: number } | undefined {
  // Signature 2F, then 14 bits of width and 14 of height, each less one (RFC 9649 section 3.4).
  if (data.length < 5 || data[0] !== 0x2f) return undefined;
  const bits = data.readUInt32LE(1);
  return { width: (bits & 0x3fff) + 1, height: ((bits >>> 14) & 0x3fff) + 1 };
}

function canvasSize(data: Buffer): { width: number; height: number } | undefined {
  // Extended header: canvas size as two 24-bit numbers, each less one (RFC 9649 section 2.7).
  if (data.length < 10) return undefined;
  return { width: data.readUIntLE(4, 3) + 1, height: data.readUIntLE(7, 3) + 1 };
}

const sizeOfChunk: Readonly<Record<string, (data: Buffer) => { width: number; height: number } | undefined>> = {
  "VP8 ": lossySize,
  VP8L: losslessSize,
  VP8X: canvasSize,
};

/** Walks a WebP (RFC 9649) chunk by chunk; its length must be what its header says, and it must hold picture data. */
export function readWebp(bytes: Buffer): PictureReading {
  const end = 8 + bytes.readUInt32LE(4);
  if (end + (end & 1) !== bytes.length && end !== bytes.length)
    return { problem: "its length is not what its header says" };
  let at = 12;
  let size: { width: number; height: number } | undefined;
  let holdsPicture = false;
  while (at + 8 <= bytes.length) {
    const type = bytes.toString("latin1", at, at + 4);
    const length = bytes.readUInt32LE(at + 4);
    if (at + 8 + length > bytes.length) return { problem: "it breaks off before its end" };
    const data = bytes.subarray(at + 8, at + 8 + length);
    const found = sizeOfChunk[type]?.(data);
    if (type in sizeOfChunk && !found) return { problem: "its picture header is wrong" };
    size ??= found;
    if (type === "VP8 " || type === "VP8L" || type === "ANMF") holdsPicture = true;
    at += 8 + length + (length & 1);
  }
  if (!size || !holdsPicture) return { problem: "it holds no picture" };
  return { type: "image/webp", ...size };
}
