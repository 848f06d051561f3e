import { createHash } from "node:crypto";
import { closeSync, fstatSync, fsyncSync, ftruncateSync, openSync, readSync, statSync, writeSync } from "node:fs";

/**
 * Beside the database lies a file with the SHA-256 of each of its pages. Hash chain and signatures guard what the records
 * say; this guards every other byte of the file too: indexes, headers, space not in use.
 * Layout: 32 bytes of header (a word of 16 bytes, the page size, zeros), then 32 bytes a page.
 */
const word = "pinwalk-pages/1\n";
const entryBytes = 32;
/** Set in place of a hash once a page was found changed before it was written again: no page has this hash. */
const tainted = Buffer.alloc(entryBytes);

export function pageSealPathOf(storePath: string): string {
  return `${storePath}.pages`;
}

function header(pageBytes: number): Buffer {
  const bytes = Buffer.alloc(entryBytes);
  bytes.write(word, 0, "latin1");
  bytes.writeUInt32BE(pageBytes, 16);
  return bytes;
}

/** Page size of a database file: 16 bits at offset 16, where 1 stands for 65536 (SQLite file format, section 1.3.2). */
function pageBytesOf(database: number): number {
  const field = Buffer.alloc(2);
  readSync(database, field, 0, 2, 16);
  const value = field.readUInt16BE(0);
  return value === 1 ? 65_536 : value;
}

function pageHash(database: number, page: number, buffer: Buffer): Buffer {
  const read = readSync(database, buffer, 0, buffer.length, (page - 1) * buffer.length);
  return createHash("sha256").update(buffer.subarray(0, read)).digest();
}

/** Runs `work` with both files open; the seal is made if it is not there. */
function withFiles<T>(storePath: string, flags: "r" | "r+", work: (database: number, seal: number) => T): T {
  const database = openSync(storePath, "r");
  try {
    const sealPath = pageSealPathOf(storePath);
    // "a" makes the file without cutting it, but writes at its end alone; so it is only made with it.
    if (flags === "r+") closeSync(openSync(sealPath, "a", 0o600));
    const seal = openSync(sealPath, flags);
    try {
      return work(database, seal);
    } finally {
      closeSync(seal);
    }
  } finally {
    closeSync(database);
  }
}

/** Seals these pages as they stand in the database file now, or all of them, and flushes the seal to the disk. */
export function sealPages(
  storePath: string,
  pages: ReadonlySet<number> | "all",
  taintedPages: ReadonlySet<number>,
): void {
  withFiles(storePath, "r+", (database, seal) => {
    const pageBytes = pageBytesOf(database);
    const count = Math.ceil(fstatSync(database).size / pageBytes);
    const buffer = Buffer.alloc(pageBytes);
    const whole = pages === "all" || fstatSync(seal).size < entryBytes;
    const wanted = whole ? Array.from({ length: count }, (_, index) => index + 1) : pages;
    writeSync(seal, header(pageBytes), 0, entryBytes, 0);
    for (const page of wanted) {
      if (page > count) continue;
      const hash = taintedPages.has(page) ? tainted : pageHash(database, page, buffer);
      writeSync(seal, hash, 0, entryBytes, page * entryBytes);
    }
    ftruncateSync(seal, entryBytes * (count + 1));
    fsyncSync(seal);
  });
}

/** Which of these pages are no longer what was sealed. Pages that the seal does not know yet are new, not changed. */
export function changedAmong(storePath: string, pages: ReadonlySet<number>): ReadonlySet<number> {
  const changed = new Set<number>();
  withFiles(storePath, "r+", (database, seal) => {
    const buffer = Buffer.alloc(pageBytesOf(database));
    const known = Buffer.alloc(entryBytes);
    const count = Math.floor(fstatSync(seal).size / entryBytes) - 1;
    for (const page of pages) {
      if (page > count) continue;
      readSync(seal, known, 0, entryBytes, page * entryBytes);
      if (!known.equals(pageHash(database, page, buffer))) changed.add(page);
    }
  });
  return changed;
}

export type PageSealCheck =
  | { readonly kind: "no-seal" }
  | {
      readonly kind: "checked";
      readonly pages: number;
      readonly changed: readonly PageChange[];
      readonly problem?: string;
    };

/** A page that is not what was sealed; `atByte` is where it begins in the file. */
export interface PageChange {
  readonly page: number;
  readonly atByte: number;
  /** True if it was found changed earlier already and then written over. */
  readonly earlier: boolean;
}

/** Compares the whole database file with its seal. The file must not be written meanwhile. */
export function checkPageSeal(storePath: string): PageSealCheck {
  try {
    statSync(pageSealPathOf(storePath));
  } catch {
    return { kind: "no-seal" };
  }
  return withFiles(storePath, "r", (database, seal) => {
    const sealed = Buffer.alloc(fstatSync(seal).size);
    readSync(seal, sealed, 0, sealed.length, 0);
    const pageBytes = sealed.length >= 20 ? sealed.readUInt32BE(16) : 0;
    const powerOfTwo = pageBytes >= 512 && pageBytes <= 65_536 && (pageBytes & (pageBytes - 1)) === 0;
    if (!powerOfTwo || !header(pageBytes).equals(sealed.subarray(0, entryBytes)))
      return { kind: "checked", pages: 0, changed: [], problem: "the head of the page seal itself was changed" };
    const size = fstatSync(database).size;
    const count = sealed.length / entryBytes - 1;
    const buffer = Buffer.alloc(pageBytes);
    const changed: PageChange[] = [];
    for (let page = 1; page <= Math.ceil(size / pageBytes); page++) {
      const known = sealed.subarray(page * entryBytes, (page + 1) * entryBytes);
      if (pageHash(database, page, buffer).equals(known)) continue;
      changed.push({ page, atByte: (page - 1) * pageBytes, earlier: known.equals(tainted) });
    }
    const problem =
      size !== count * pageBytes ? `the file has ${size} bytes where ${count * pageBytes} were sealed` : undefined;
    return { kind: "checked", pages: count, changed, ...(problem ? { problem } : {}) };
  });
}
