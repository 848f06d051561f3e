import { chmodSync, existsSync, mkdirSync } from "node:fs";
import { homedir } from "node:os";
import { dirname, join } from "node:path";
import Database from "better-sqlite3";
import { Kysely, SqliteDialect } from "kysely";
import { asRecordsError, RecordsError } from "../records-error.js";
import type { StoreTables } from "./store-tables.js";

/** "Pwk1" in the file's header says that it is a record store (SQLite application id). */
const applicationId = 0x50776b31;

/** An open store: SQLite itself for what is SQLite's alone, the query builder for everything else. */
export interface OpenDatabase {
  readonly sqlite: Database.Database;
  readonly db: Kysely<StoreTables>;
}

/** Where records are kept if nobody says otherwise: `PINWALK_STORE`, or `.pinwalk/records.sqlite` in the home folder. */
export function defaultStorePath(environment: NodeJS.ProcessEnv = process.env): string {
  return environment.PINWALK_STORE || join(homedir(), ".pinwalk", "records.sqlite");
}

function refuseForeignFile(sqlite: Database.Database, path: string): void {
  const id = Number(sqlite.pragma("application_id", { simple: true }));
  if (id === applicationId) return;
  const tables = sqlite.prepare("SELECT count(*) AS n FROM sqlite_schema").get() as { n: number };
  if (id === 0 && tables.n === 0 && !sqlite.readonly) {
    sqlite.pragma(`application_id = ${applicationId}`);
    return;
  }
  throw new RecordsError("not-a-store", `${path}: this is not a record store of Pinwalk.`);
}

/**
 * Opens the file for writing and makes it if need be; its folder is made for its owner alone. Every commit is on the disk
 * before it is answered (write-ahead log, full sync). Throws `read-only`, `damaged`, `not-a-store`.
 */
export function openForWriting(path: string): OpenDatabase {
  try {
    mkdirSync(dirname(path), { recursive: true, mode: 0o700 });
    const isNew = !existsSync(path);
    const sqlite = new Database(path, { timeout: 5000 });
    try {
      if (isNew && process.platform !== "win32") chmodSync(path, 0o600);
      sqlite.pragma("journal_mode = WAL");
      sqlite.pragma("synchronous = FULL");
      // The store moves the log into the file itself, so that it knows which pages changed.
      sqlite.pragma("wal_autocheckpoint = 0");
      return prepared(sqlite, path);
    } catch (error) {
      sqlite.close();
      throw error;
    }
  } catch (error) {
    throw asRecordsError(error, path);
  }
}

/** Opens an existing file for reading alone. Throws `no-store`, `damaged`, `not-a-store`. */
export function openForReading(path: string): OpenDatabase {
  if (!existsSync(path))
    throw new RecordsError(
      "no-store",
      `${path}: there is no record store yet. It is made when the first record is kept.`,
    );
  try {
    const sqlite = new Database(path, { readonly: true, fileMustExist: true, timeout: 5000 });
    try {
      return prepared(sqlite, path);
    } catch (error) {
      sqlite.close();
      throw error;
    }
  } catch (error) {
    throw asRecordsError(error, path);
  }
}

function prepared(sqlite: Database.Database, path: string): OpenDatabase {
  sqlite.pragma("foreign_keys = ON");
  sqlite.pragma("trusted_schema = OFF");
  // 64 MB: what a search runs through in a store of 200,000 records stays in memory.
  sqlite.pragma("cache_size = -65536");
  sqlite.pragma("cell_size_check = ON");
  refuseForeignFile(sqlite, path);
  return { sqlite, db: new Kysely<StoreTables>({ dialect: new SqliteDialect({ database: sqlite }) }) };
}
