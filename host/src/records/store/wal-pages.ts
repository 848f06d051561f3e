import { closeSync, fstatSync, openSync, readSync } from "node:fs";

/** WAL header and frame header (SQLite file format, section 4.1): 32 and 24 bytes, numbers big-endian. */
const headerBytes = 32;
const frameHeaderBytes = 24;

/**
 * The numbers of the pages that the write-ahead log holds in its present generation (frames whose salts are the
 * header's). A few too many do no harm: callers look at the pages in the database file itself. Empty if there is no log.
 */
export function walPages(walPath: string): ReadonlySet<number> {
  const pages = new Set<number>();
  let file: number;
  try {
    file = openSync(walPath, "r");
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "ENOENT") return pages;
    throw error;
  }
  try {
    const header = Buffer.alloc(headerBytes);
    if (readSync(file, header, 0, headerBytes, 0) < headerBytes) return pages;
    const pageBytes = header.readUInt32BE(8);
    const salts = header.subarray(16, 24);
    const frame = Buffer.alloc(frameHeaderBytes);
    const size = fstatSync(file).size;
    for (let at = headerBytes; at + frameHeaderBytes + pageBytes <= size; at += frameHeaderBytes + pageBytes) {
      readSync(file, frame, 0, frameHeaderBytes, at);
      if (frame.subarray(8, 16).equals(salts)) pages.add(frame.readUInt32BE(0));
    }
    return pages;
  } finally {
    closeSync(file);
  }
}
