import { setTimeout as pause } from "node:timers/promises";
import Database from "better-sqlite3";
import { asRecordsError, RecordsError } from "../records-error.js";

const retryMs = 15;

/** Where the lock of a store lies: an empty SQLite file, for SQLite's locks work alike everywhere and die with their process. */
export function lockPathOf(storePath: string): string {
  return `${storePath}.lock`;
}

/**
 * Runs `work` while no other process writes to the store. Waits up to `waitMs`, without blocking this process, then
 * throws `busy`.
 */
export async function whileStoreIsMine<T>(storePath: string, waitMs: number, work: () => Promise<T>): Promise<T> {
  const path = lockPathOf(storePath);
  let lock: Database.Database;
  try {
    lock = new Database(path, { timeout: 0 });
  } catch (error) {
    throw asRecordsError(error, path);
  }
  try {
    for (let waited = 0; !tryLock(lock, path); waited += retryMs) {
      if (waited >= waitMs)
        throw new RecordsError("busy", `${storePath}: another program is writing to the record store. Try again.`);
      await pause(retryMs);
    }
    return await work();
  } finally {
    lock.close();
  }
}

function tryLock(lock: Database.Database, path: string): boolean {
  try {
    lock.exec("BEGIN EXCLUSIVE");
    return true;
  } catch (error) {
    if ((error as { code?: unknown }).code === "SQLITE_BUSY") return false;
    throw asRecordsError(error, path);
  }
}
