import { deflateSync } from "node:zlib";
import { photoBounds, takePhoto } from "@pinwalk/host/records/photos/photo.js";
import { describe, expect, it } from "vitest";
import { makePng, pngChunk, pngHeader, pngSignature, smallJpeg, smallWebp } from "./pictures.js";

const notAPhoto = expect.objectContaining({ code: "not-a-photo" });

describe("A photo", () => {
  it.each([
    ["JPEG", smallJpeg, "image/jpeg", 24, 16],
    ["WebP", smallWebp, "image/webp", 24, 16],
    ["PNG", makePng(40, 30), "image/png", 40, 30],
  ])("is taken in as %s by its content, with its size", (_name, data, type, width, height) => {
    expect(takePhoto(data)).toMatchObject({ type, width, height, bytes: data.length });
  });

  it("may carry what a camera appends behind a JPEG's end", () => {
    expect(takePhoto(Buffer.concat([smallJpeg, Buffer.from("a film, perhaps")])).width).toBe(24);
  });

  const jpegCut = smallJpeg.subarray(0, smallJpeg.length - 2);
  const pngDamaged = Buffer.from(makePng(40, 30));
  pngDamaged[60] = (pngDamaged[60] ?? 0) ^ 1;
  it.each([
    ["is empty", Buffer.alloc(0)],
    ["is text", Buffer.from("<svg onload=alert(1)></svg>")],
    ["has a picture's first bytes alone", Buffer.from("ffd8ffe000104a464946", "hex")],
    ["breaks off", jpegCut],
    ["is a damaged PNG", pngDamaged],
    ["hides an archive behind a PNG's end", Buffer.concat([makePng(40, 30), Buffer.from("PK\u0003\u0004")])],
    ["claims to be larger than its WebP data", Buffer.concat([smallWebp, Buffer.alloc(50)])],
    ["is a dot", makePng(1, 1)],
    ["is far too long", Buffer.concat([smallJpeg, Buffer.alloc(photoBounds.mostBytes)])],
    [
      "is a PNG that promises more pixels than it has",
      Buffer.concat([
        pngSignature,
        pngHeader(500, 500),
        pngChunk("IDAT", deflateSync(Buffer.alloc(100))),
        pngChunk("IEND", Buffer.alloc(0)),
      ]),
    ],
    [
      "unpacks to more than its header says",
      Buffer.concat([
        pngSignature,
        pngHeader(16, 16),
        pngChunk("IDAT", deflateSync(Buffer.alloc(50_000_000))),
        pngChunk("IEND", Buffer.alloc(0)),
      ]),
    ],
    [
      "would unpack to gigabytes",
      Buffer.concat([
        pngSignature,
        pngHeader(60_000, 60_000),
        pngChunk("IDAT", deflateSync(Buffer.alloc(1000))),
        pngChunk("IEND", Buffer.alloc(0)),
      ]),
    ],
  ])("is refused if it %s", (_name, data) => {
    expect(() => takePhoto(data)).toThrow(notAPhoto);
  });

  it("never crashes the reader, whatever byte is changed", () => {
    for (const picture of [smallJpeg, smallWebp, makePng(20, 10)])
      for (let at = 0; at < picture.length; at++) {
        const changed = Buffer.from(picture);
        changed[at] = (changed[at] ?? 0) ^ 0xff;
        try {
          takePhoto(changed);
        } catch (error) {
          expect(error).toEqual(notAPhoto);
        }
      }
  });
});
