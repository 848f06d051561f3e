import { sha256Hex } from "../chain/record-hash.js";
import { RecordsError } from "../records-error.js";
import { readJpeg } from "./jpeg-size.js";
import type { PictureReading, PictureType } from "./picture-size.js";
import { readPng } from "./png-size.js";
import { readWebp } from "./webp-size.js";

/** Bounds of one photo: what a phone's camera makes fits, and no more than a page can show is asked of it. */
export const photoBounds = {
  mostBytes: 12 * 1024 * 1024,
  leastPixels: 8,
  mostPixels: 120_000_000,
  mostSide: 20_000,
} as const;

/** A picture that was looked through to its end; `sha256` is its name wherever it is kept. Sizes in bytes and pixels. */
export interface Photo {
  readonly sha256: string;
  readonly type: PictureType;
  readonly bytes: number;
  readonly width: number;
  readonly height: number;
  readonly data: Buffer;
}

const pngSignature = Buffer.from("89504e470d0a1a0a", "hex");

function readPicture(data: Buffer): PictureReading {
  if (data.length >= 4 && data[0] === 0xff && data[1] === 0xd8 && data[2] === 0xff) return readJpeg(data);
  if (data.length >= 33 && data.subarray(0, 8).equals(pngSignature)) return readPng(data);
  if (data.length >= 20 && data.toString("latin1", 0, 4) === "RIFF" && data.toString("latin1", 8, 12) === "WEBP")
    return readWebp(data);
  return { problem: "it is no JPEG, PNG or WebP picture" };
}

/**
 * Takes a photo in: by its content, never by a file's name. Throws `not-a-photo` with the reason.
 */
export function takePhoto(data: Uint8Array): Photo {
  const bytes = Buffer.from(data.buffer, data.byteOffset, data.byteLength);
  if (bytes.length > photoBounds.mostBytes)
    throw new RecordsError(
      "not-a-photo",
      `it has ${bytes.length} bytes; a photo has at most ${photoBounds.mostBytes}.`,
    );
  const reading = readPicture(bytes);
  if ("problem" in reading) throw new RecordsError("not-a-photo", `it cannot be kept as a photo: ${reading.problem}.`);
  const { width, height } = reading;
  const { leastPixels, mostPixels, mostSide } = photoBounds;
  if (
    width < leastPixels ||
    height < leastPixels ||
    width > mostSide ||
    height > mostSide ||
    width * height > mostPixels
  )
    throw new RecordsError("not-a-photo", `it is ${width} × ${height} pixels, which no photo of a job is.`);
  return { sha256: sha256Hex(bytes), type: reading.type, bytes: bytes.length, width, height, data: bytes };
}
