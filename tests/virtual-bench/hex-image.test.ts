import { parseHexImage } from "@pinwalk/host/bench/virtual/chip/hex-image.js";
import { describe, expect, it } from "vitest";

const FLASH_BYTES = 32_768;
const END = ":00000001FF";
/** Sixteen bytes at 0100; the record that the format's public description uses as its example. */
const EXAMPLE = ":10010000214601360121470136007EFE09D2190140";

function lineOf(bytes: readonly number[]): string {
  const sum = bytes.reduce((total, byte) => total + byte, 0);
  return `:${Buffer.from([...bytes, -sum & 0xff]).toString("hex")}`;
}

function refusal(text: string): unknown {
  try {
    parseHexImage(text, FLASH_BYTES);
  } catch (error) {
    return error;
  }
  return undefined;
}

describe("a firmware image", () => {
  it("becomes little-endian flash words, with unused flash erased", () => {
    const words = parseHexImage(`${EXAMPLE}\r\n${END}\r\n`, FLASH_BYTES);
    expect(words.length).toBe(FLASH_BYTES / 2);
    expect(words[0x80]).toBe(0x4621);
    expect(words[0x87]).toBe(0x0119);
    expect(words[0x88]).toBe(0xffff);
    expect(words[0]).toBe(0xffff);
  });

  it.each([
    ["a wrong checksum", `${EXAMPLE.slice(0, -1)}1\n${END}`, /Line 1 .*checksum/],
    ["a record that is cut off", `${EXAMPLE.slice(0, 21)}\n${END}`, /Line 1 .*length/],
    ["text that is no record", `${EXAMPLE}\nhello\n${END}`, /Line 2 .*not an Intel HEX record/],
    ["no end record", EXAMPLE, /cut off/],
    ["data after the end record", `${END}\n${EXAMPLE}`, /Line 2 .*end record/],
    ["no data", END, /no data/],
    ["bytes given twice", `${EXAMPLE}\n${EXAMPLE}\n${END}`, /given twice/],
    ["an address beyond the flash", `${lineOf([1, 0x80, 0, 0, 0x55])}\n${END}`, /outside 32768 bytes/],
    ["an address beyond 64 kB", `${lineOf([2, 0, 0, 4, 0, 1])}\n${EXAMPLE}\n${END}`, /outside 32768 bytes/],
    ["an unknown record type", `${lineOf([0, 0, 0, 9])}\n${END}`, /type 9/],
  ])("with %s is refused, and the message says where", (_what, text, message) => {
    expect(refusal(text)).toMatchObject({ code: "bad-image", message: expect.stringMatching(message) });
  });
});
