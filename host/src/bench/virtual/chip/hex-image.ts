import { VirtualBenchError } from "../virtual-bench-error.js";

const RECORD = /^:([0-9A-Fa-f]{2})+$/;
const DATA = 0x00;
const END_OF_FILE = 0x01;
const START_SEGMENT = 0x03;
const EXTENDED_LINEAR = 0x04;
const START_LINEAR = 0x05;
const SHORTEST_RECORD_BYTES = 5;

/**
 * Reads an Intel HEX file into flash words, unused flash as 0xFFFF.
 *
 * Throws `bad-image` with the line's number for a wrong mark, length, checksum or record type, for an address outside
 * the flash, for bytes given twice, and for a file without data or without its end record (one that was cut off).
 */
export function parseHexImage(text: string, flashBytes: number): Uint16Array {
  const flash = new Uint8Array(flashBytes).fill(0xff);
  const written = new Uint8Array(flashBytes);
  let base = 0;
  let ended = false;
  let dataBytes = 0;
  for (const [index, raw] of text.split("\n").entries()) {
    const line = raw.trim();
    if (line === "") continue;
    if (ended) throw badLine(index, "follows the end record");
    const bytes = recordBytes(line, index);
    const [count = 0, high = 0, low = 0, type = 0] = bytes;
    const payload = bytes.subarray(4, 4 + count);
    switch (type) {
      case DATA:
        for (const [at, byte] of payload.entries()) {
          const address = base + high * 256 + low + at;
          if (address >= flashBytes)
            throw badLine(index, `address ${address} lies outside ${flashBytes} bytes of flash`);
          if (written[address] === 1) throw badLine(index, `address ${address} is given twice`);
          written[address] = 1;
          flash[address] = byte;
          dataBytes += 1;
        }
        break;
      case END_OF_FILE:
        ended = true;
        break;
      case EXTENDED_LINEAR:
        base = ((payload[0] ?? 0) * 256 + (payload[1] ?? 0)) * 65536;
        break;
      case START_SEGMENT:
      case START_LINEAR:
        break;
      default:
        throw badLine(index, `record type ${type} is unknown`);
    }
  }
  if (!ended) throw new VirtualBenchError("bad-image", "The firmware image has no end record: it was cut off.");
  if (dataBytes === 0) throw new VirtualBenchError("bad-image", "The firmware image holds no data.");
  return littleEndianWords(flash);
}

function recordBytes(line: string, index: number): Uint8Array {
  if (!RECORD.test(line)) throw badLine(index, "is not an Intel HEX record");
  const bytes = new Uint8Array(Buffer.from(line.slice(1), "hex"));
  if (bytes.length < SHORTEST_RECORD_BYTES || bytes.length !== (bytes[0] ?? 0) + SHORTEST_RECORD_BYTES) {
    throw badLine(index, "has the wrong length");
  }
  let sum = 0;
  for (const byte of bytes) sum = (sum + byte) & 0xff;
  if (sum !== 0) throw badLine(index, "has a wrong checksum");
  return bytes;
}

function littleEndianWords(bytes: Uint8Array): Uint16Array {
  const words = new Uint16Array(bytes.length / 2);
  for (let i = 0; i < words.length; i += 1) words[i] = (bytes[2 * i] ?? 0xff) | ((bytes[2 * i + 1] ?? 0xff) << 8);
  return words;
}

function badLine(index: number, what: string): VirtualBenchError {
  return new VirtualBenchError("bad-image", `Line ${index + 1} of the firmware image ${what}.`);
}
