import { crc16 } from "@pinwalk/firmware-protocol/crc16.js";
import type { SeededRandom } from "../line-attack/seeded-random.js";

const LINE_FEED = 0x0a;
const ASTERISK = 0x2a;
const SEAL_BYTES = 5;
const MOST_EDITS = 3;
/** Bytes at the edges of what the contract allows. */
const EDGES = [...Buffer.from(" *0189:/AFG@afg?=!~-+.\r\n", "latin1"), 0x00, 0x1f, 0x20, 0x7e, 0x7f, 0x80, 0xff];

/** The input with some bytes changed; mostly with its checksums set right again, or nothing would get past them. */
export function mutated(input: Uint8Array, random: SeededRandom): Uint8Array {
  const bytes = [...input];
  for (let edits = random.between(1, MOST_EDITS); edits > 0; edits -= 1) edit(bytes, random);
  return random.chance(0.9) ? resealed(bytes) : Uint8Array.from(bytes);
}

function edit(bytes: number[], random: SeededRandom): void {
  const at = random.between(0, bytes.length);
  const old = bytes[at] ?? LINE_FEED;
  switch (random.pick(["near", "edge", "insert", "remove", "repeat"] as const)) {
    case "near":
      bytes.splice(at, 1, (old + random.pick([-1, 1]) + 256) % 256);
      break;
    case "edge":
      bytes.splice(at, 1, random.pick(EDGES));
      break;
    case "insert":
      bytes.splice(at, 0, random.pick(EDGES));
      break;
    case "remove":
      bytes.splice(at, random.between(1, 3));
      break;
    case "repeat":
      bytes.splice(at, 0, ...bytes.slice(at, at + random.between(1, 6)));
      break;
  }
}

/** Every line that ends in an asterisk and four more bytes gets the right checksum. */
function resealed(bytes: readonly number[]): Uint8Array {
  const sealed = Uint8Array.from(bytes);
  let start = 0;
  for (const [at, byte] of bytes.entries()) {
    if (byte !== LINE_FEED) continue;
    const star = at - SEAL_BYTES;
    if (star >= start && sealed[star] === ASTERISK) {
      const crc = crc16(sealed.subarray(start, star)).toString(16).toUpperCase().padStart(4, "0");
      sealed.set(Buffer.from(crc, "latin1"), star + 1);
    }
    start = at + 1;
  }
  return sealed;
}
