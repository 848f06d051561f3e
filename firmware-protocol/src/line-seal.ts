import { crc16 } from "./crc16.js";

const sealBytes = "*FFFF".length;
const hex4 = /^[0-9A-F]{4}$/;

export type Unsealed =
  | { readonly kind: "text"; readonly text: string }
  | { readonly kind: "garbled"; readonly why: "form" | "crc" };

/** The line for a text: checksum behind an asterisk, line feed at the end. The text is printable ASCII. */
export function sealLine(text: string): Uint8Array {
  const bytes = bytesOf(text);
  return bytesOf(`${text}*${hexOf(crc16(bytes), 4)}\n`);
}

/**
 * Takes the checksum off a line (without its line feed) if it is the right one. `form`: no checksum at its end, or a byte
 * that is not printable ASCII; `crc`: another checksum than that of the bytes before it.
 */
export function unsealLine(line: Uint8Array): Unsealed {
  const text = String.fromCharCode(...line);
  const seal = text.slice(-sealBytes);
  const body = text.slice(0, -sealBytes);
  if (!seal.startsWith("*") || !hex4.test(seal.slice(1)) || !/^[\x20-\x7e]*$/.test(body)) {
    return { kind: "garbled", why: "form" };
  }
  if (crc16(line.subarray(0, body.length)) !== Number.parseInt(seal.slice(1), 16)) {
    return { kind: "garbled", why: "crc" };
  }
  return { kind: "text", text: body };
}

/** Upper-case hex digits, `digits` of them. */
export function hexOf(value: number, digits: number): string {
  return value.toString(16).toUpperCase().padStart(digits, "0");
}

function bytesOf(text: string): Uint8Array {
  return Uint8Array.from(text, (character) => character.charCodeAt(0));
}
