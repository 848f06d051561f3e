import { createHash, type Hash } from "node:crypto";
import { createReadStream } from "node:fs";
import { RecordsError } from "../records-error.js";

/** The longest line that is read: a photo of the largest size in base64 with its envelope. */
const mostLineBytes = 20 * 1024 * 1024;

/** One line of an export without its line feed. `hashBefore` is the SHA-256 of every byte before the line. */
export interface BundleLine {
  readonly lineNumber: number;
  /** undefined if the bytes are no UTF-8. */
  readonly text: string | undefined;
  readonly hashBefore: string;
  /** False if the file ends without a line feed. */
  readonly ended: boolean;
}

function decoded(bytes: Buffer): string | undefined {
  try {
    return new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    return undefined;
  }
}

function lineOf(bytes: Buffer, lineNumber: number, before: Hash, ended: boolean): BundleLine {
  const hashBefore = before.copy().digest("hex");
  before.update(bytes);
  if (ended) before.update("\n");
  return { lineNumber, text: decoded(bytes), hashBefore, ended };
}

/** Reads a file line by line, one line in memory at a time. Throws `not-readable` for a line that is too long. */
export async function* bundleLines(path: string): AsyncGenerator<BundleLine> {
  const before = createHash("sha256");
  let held: Buffer[] = [];
  let heldBytes = 0;
  let lineNumber = 1;
  for await (const chunk of createReadStream(path) as AsyncIterable<Buffer>) {
    let from = 0;
    for (let end = chunk.indexOf(0x0a); end >= 0; end = chunk.indexOf(0x0a, from)) {
      held.push(chunk.subarray(from, end));
      yield lineOf(Buffer.concat(held), lineNumber++, before, true);
      held = [];
      heldBytes = 0;
      from = end + 1;
    }
    held.push(chunk.subarray(from));
    heldBytes += chunk.length - from;
    if (heldBytes > mostLineBytes)
      throw new RecordsError("not-readable", `line ${lineNumber} is longer than ${mostLineBytes} bytes`);
  }
  if (heldBytes > 0) yield lineOf(Buffer.concat(held), lineNumber, before, false);
}
