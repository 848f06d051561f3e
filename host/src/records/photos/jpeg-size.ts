import type { PictureReading } from "./picture-size.js";

/** Markers without a length (ITU-T T.81 table B.1): TEM, RST0–RST7, SOI, EOI. */
function standsAlone(marker: number): boolean {
  return marker === 0x01 || (marker >= 0xd0 && marker <= 0xd9);
}

/** Start-of-frame markers SOF0–SOF15 (T.81 table B.1) without DHT, JPG and DAC, which share their range. */
function startsFrame(marker: number): boolean {
  return marker >= 0xc0 && marker <= 0xcf && marker !== 0xc4 && marker !== 0xc8 && marker !== 0xcc;
}

/** Past the entropy-coded data: the next marker that is neither a stuffed zero nor a restart (T.81 B.1.1.5). */
function afterScan(bytes: Buffer, from: number): number {
  let at = from;
  while (at + 1 < bytes.length) {
    const next = bytes[at + 1] ?? 0;
    if (bytes[at] === 0xff && next !== 0x00 && next !== 0xff && !(next >= 0xd0 && next <= 0xd7)) return at;
    at++;
  }
  return bytes.length;
}

/**
 * Walks a JPEG (ITU-T T.81 annex B) from marker to marker to its end. What a camera appends behind the end (a second
 * picture, a film) is let be.
 */
export function readJpeg(bytes: Buffer): PictureReading {
  let at = 2;
  let size: { width: number; height: number } | undefined;
  let scans = 0;
  while (at + 1 < bytes.length) {
    if (bytes[at] !== 0xff) return { problem: `no marker where one must stand (byte ${at})` };
    const marker = bytes[at + 1] ?? 0;
    if (marker === 0xff) {
      at++;
      continue;
    }
    if (marker === 0xd9) {
      if (!size || scans === 0) return { problem: "it ends before any picture began" };
      return { type: "image/jpeg", ...size };
    }
    if (standsAlone(marker)) {
      at += 2;
      continue;
    }
    if (at + 4 > bytes.length) break;
    const length = bytes.readUInt16BE(at + 2);
    if (length < 2 || at + 2 + length > bytes.length) break;
    if (startsFrame(marker)) {
      if (length < 8 || size) return { problem: "its frame header is wrong" };
      size = { height: bytes.readUInt16BE(at + 5), width: bytes.readUInt16BE(at + 7) };
    }
    at += 2 + length;
    if (marker === 0xda) {
      if (!size) return { problem: "its scan comes before its frame" };
      scans++;
      at = afterScan(bytes, at);
    }
  }
  return { problem: "it breaks off before its end" };
}
