import { crc16 } from "@pinwalk/firmware-protocol/crc16.js";
import { describe, expect, it } from "vitest";

const ascii = (text: string) => Uint8Array.from(text, (c) => c.charCodeAt(0));

describe("the checksum of a line", () => {
  // RevEng catalogue of parametrised CRC algorithms: check value of CRC-16/IBM-3740.
  it("gives the catalogue's check value", () => {
    expect(crc16(ascii("123456789"))).toBe(0x29b1);
  });

  // Check values of the same polynomial with other starts, reflections and endings, from the same catalogue.
  it.each([
    ["CRC-16/XMODEM", 0x31c3],
    ["CRC-16/GSM", 0xce3c],
    ["CRC-16/IBM-SDLC", 0x906e],
  ])("is not mistaken for %s", (_name, check) => {
    expect(crc16(ascii("123456789"))).not.toBe(check);
  });

  // The three differ from ours by start value and final inversion alone, so each follows from ours where the theory is right.
  it("is related to the XMODEM and GSM check values as linearity of the code demands", () => {
    const zeros = crc16(new Uint8Array(9));
    const xmodemOf = (bytes: Uint8Array) => crc16(bytes) ^ zeros; // the part that depends on the start alone cancels
    expect(xmodemOf(ascii("123456789"))).toBe(0x31c3);
    expect(xmodemOf(ascii("123456789")) ^ 0xffff).toBe(0xce3c);
  });

  it("starts at FFFF for no bytes at all", () => {
    expect(crc16(new Uint8Array())).toBe(0xffff);
  });
});
