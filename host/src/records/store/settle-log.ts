import { statSync } from "node:fs";
import type Database from "better-sqlite3";
import { changedAmong, pageSealPathOf, sealPages } from "./page-seal.js";
import { walPages } from "./wal-pages.js";

function logHolds(walPath: string): boolean {
  try {
    return statSync(walPath).size > 0;
  } catch {
    return false;
  }
}

function checkpoint(sqlite: Database.Database, mode: "FULL" | "TRUNCATE"): boolean {
  const result = sqlite.pragma(`wal_checkpoint(${mode})`) as readonly {
    busy: number;
    log: number;
    checkpointed: number;
  }[];
  return result[0]?.busy === 0 && result[0].log === result[0].checkpointed;
}

/** True if the write-ahead log beside the store holds anything: a writer was killed before it could settle it. */
export function needsSettling(storePath: string): boolean {
  return logHolds(`${storePath}-wal`);
}

/**
 * Moves what is committed from the write-ahead log into the database file and seals the pages that this changed. The log is emptied
 * only after the seal is on the disk, so a kill at any moment leaves either the log or the seal to say which pages
 * are new. The caller holds the store's lock. `cleanBefore`: the log was empty when the caller began, so a page that is not what
 * was sealed was changed by something else; it stays marked, for the evidence would be written over otherwise.
 * False if a reader kept the log from being emptied; the next settling does it.
 */
export function settleLog(sqlite: Database.Database, storePath: string, cleanBefore: boolean): boolean {
  const pages = walPages(`${storePath}-wal`);
  const sealed = logHolds(pageSealPathOf(storePath));
  if (pages.size > 0 || !sealed) {
    const changedBefore = cleanBefore && sealed ? changedAmong(storePath, pages) : new Set<number>();
    // FULL waits for readers of older states; if one stays, the log stays too, for what it holds is not sealed yet.
    const moved = checkpoint(sqlite, "FULL");
    sealPages(storePath, sealed ? pages : "all", changedBefore);
    if (!moved) return false;
  }
  return checkpoint(sqlite, "TRUNCATE");
}
