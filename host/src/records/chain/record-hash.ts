import { createHash } from "node:crypto";
import { canonicalJson } from "./canonical-json.js";

/** What stands in the first record of a chain where the hash of the record before would stand. */
export const noRecordBefore = "0".repeat(64);

/**
 * SHA-256 (FIPS 180-4) in lower-case hexadecimal; text is taken as UTF-8.
 *
 * `sha256Hex("abc")` begins with `ba7816bf` (FIPS 180-4 example).
 */
export function sha256Hex(data: string | Uint8Array): string {
  return createHash("sha256").update(data).digest("hex");
}

/** The hash of a record: SHA-256 over its canonical JSON, which holds the hash of the record before it. */
export function recordHash(record: unknown): string {
  return sha256Hex(canonicalJson(record));
}
