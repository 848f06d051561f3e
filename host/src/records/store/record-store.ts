import { renameSync } from "node:fs";
import type { Kysely } from "kysely";
import { keyPathOf, makeSigningKey, readSigningKey, type SigningKey } from "../chain/signing-key.js";
import type { RecordDraft, SealedRecord } from "../record-schema.js";
import { asRecordsError, isRecordsError, RecordsError } from "../records-error.js";
import { backUpStore } from "./back-up-store.js";
import { knowSigner } from "./insert-record.js";
import { keepRecord, takePhotos } from "./keep-record.js";
import { migrate, requirePresentSchema } from "./migrations.js";
import { type OpenDatabase, openForReading, openForWriting } from "./open-database.js";
import type { SavedRecord } from "./saved-record.js";
import { batchOf, historyOf, type RecordPage, type RecordQuery, readRecord, searchRecords } from "./search-records.js";
import { needsSettling, settleLog } from "./settle-log.js";
import { whileStoreIsMine } from "./store-lock.js";
import type { StoreTables } from "./store-tables.js";
import { wholeTransaction } from "./whole-transaction.js";

/** What became of a record that was kept: it is on the disk. `remark` says what else a person should know. */
export interface KeptRecord extends SealedRecord {
  readonly seq: number;
  readonly remark?: string;
}

/** A signer that this store knows, with the number of its records here. */
export interface ChainSummary {
  readonly signer: string;
  readonly own: boolean;
  readonly records: number;
  readonly lastNumber: number;
}

export interface StoreOptions {
  /** Version of the program, written into every record. */
  readonly version: string;
  /** How long to wait for another program that is writing. */
  readonly lockWaitMs?: number;
}

/**
 * The record store: one SQLite file with its key, its page seal and its lock beside it. Open it for reading where nothing is
 * to be kept; several processes may have it open, one writes at a time. Every method throws a RecordsError with words for people.
 */
export class RecordStore {
  readonly path: string;
  readonly #open: OpenDatabase;
  readonly #writes: boolean;
  readonly #version: string;
  readonly #lockWaitMs: number;
  #queue: Promise<unknown> = Promise.resolve();

  private constructor(path: string, open: OpenDatabase, writes: boolean, options: StoreOptions) {
    this.path = path;
    this.#open = open;
    this.#writes = writes;
    this.#version = options.version;
    this.#lockWaitMs = options.lockWaitMs ?? 10_000;
  }

  /** Opens a store to keep records in; makes it, or brings it to the present schema, if need be. */
  static async openForWriting(path: string, options: StoreOptions): Promise<RecordStore> {
    const store = new RecordStore(path, openForWriting(path), true, options);
    try {
      await store.write(async () => {
        await migrate(store.db, () => new Date().toISOString());
      });
      return store;
    } catch (error) {
      store.#open.sqlite.close();
      throw error;
    }
  }

  /** Opens an existing store to look into it; nothing in it is changed. */
  static async openForReading(path: string, options: StoreOptions): Promise<RecordStore> {
    const store = new RecordStore(path, openForReading(path), false, options);
    try {
      await store.read((db) => requirePresentSchema(db, path));
      return store;
    } catch (error) {
      store.#open.sqlite.close();
      throw error;
    }
  }

  get db(): Kysely<StoreTables> {
    return this.#open.db;
  }

  /** Runs a reading with its failures turned into words. */
  async read<T>(work: (db: Kysely<StoreTables>) => Promise<T>): Promise<T> {
    try {
      return await work(this.db);
    } catch (error) {
      throw asRecordsError(error, this.path);
    }
  }

  /**
   * Runs a piece of work alone: no other writer of this process or another. Afterwards everything committed lies in the
   * file itself and its pages are sealed. A failure to seal after a commit takes nothing back: it becomes the remark.
   */
  async write<T>(work: () => Promise<T>): Promise<{ readonly value: T; readonly remark?: string }> {
    if (!this.#writes) throw new RecordsError("read-only", `${this.path}: the store was opened for reading alone.`);
    const turn = this.#queue.then(() =>
      whileStoreIsMine(this.path, this.#lockWaitMs, async () => {
        const { sqlite } = this.#open;
        const cleanBefore = !needsSettling(this.path) || settledBefore(sqlite, this.path);
        const value = await work();
        try {
          settleLog(sqlite, this.path, cleanBefore);
          return { value };
        } catch (error) {
          return { value, remark: unsettledWords(asRecordsError(error, this.path)) };
        }
      }),
    );
    this.#queue = turn.catch(() => undefined);
    try {
      return await turn;
    } catch (error) {
      throw asRecordsError(error, this.path);
    }
  }

  /**
   * Keeps a finished job. When the promise is fulfilled, the record with all its photos is on the disk; when it is
   * rejected, nothing of it is. Throws `not-a-record`, `not-a-photo`, `no-such-record` (a correction of nothing),
   * `key-missing`, `disk-full`, `read-only`, `busy`.
   */
  async keep(draft: RecordDraft): Promise<KeptRecord> {
    const photos = takePhotos(draft.photos);
    const { value, remark } = await this.write(() =>
      wholeTransaction(this.db, (db) => keepRecord(db, this.path, draft, photos, this.#version)),
    );
    return remark === undefined ? value : { ...value, remark };
  }

  search(query: RecordQuery): Promise<RecordPage> {
    return this.read((db) => searchRecords(db, query));
  }

  /** One record by hash, first digits of it, or own number. Throws `no-such-record`, `ambiguous`. */
  record(reference: string): Promise<SavedRecord> {
    return this.read((db) => readRecord(db, reference));
  }

  /** All records of a vehicle or cable, oldest first. */
  history(serial: string): Promise<readonly SavedRecord[]> {
    return this.read((db) => historyOf(db, serial));
  }

  /** All records of a batch, oldest first. */
  batch(batch: string): Promise<readonly SavedRecord[]> {
    return this.read((db) => batchOf(db, batch));
  }

  /** A photo by its hash; undefined if the store has none. Send it with its type and `nosniff`. */
  photo(sha256: string): Promise<{ readonly type: string; readonly data: Uint8Array } | undefined> {
    return this.read((db) =>
      db.selectFrom("photo").select(["type", "data"]).where("sha256", "=", sha256).executeTakeFirst(),
    );
  }

  /** How many different photos these records (by hash) have in all. */
  async countPhotosOf(hashes: readonly string[]): Promise<number> {
    const photos = new Set<string>();
    for (let index = 0; index < hashes.length; index += 500) {
      const some = hashes.slice(index, index + 500);
      const rows = await this.read((db) =>
        db
          .selectFrom("record_photo as p")
          .innerJoin("record_entry as e", "e.seq", "p.seq")
          .select("p.sha256")
          .where("e.hash", "in", some)
          .execute(),
      );
      for (const { sha256 } of rows) photos.add(sha256);
    }
    return photos.size;
  }

  /** The signers that this store knows, own ones first. */
  async chains(): Promise<readonly ChainSummary[]> {
    const rows = await this.read((db) =>
      db
        .selectFrom("chain as c")
        .leftJoin("record_entry as e", "e.signer", "c.signer")
        .select(({ fn }) => ["c.signer", "c.own", fn.count("e.seq").as("records"), fn.max("e.number").as("last")])
        .groupBy(["c.signer", "c.own"])
        .orderBy("c.own", "desc")
        .orderBy("c.signer")
        .execute(),
    );
    return rows.map((row) => ({
      signer: row.signer,
      own: row.own === 1,
      records: Number(row.records),
      lastNumber: Number(row.last ?? 0),
    }));
  }

  /** The shop's key; undefined before the first record. Throws `key-refused`. */
  signingKey(): SigningKey | undefined {
    return readSigningKey(keyPathOf(this.path));
  }

  /**
   * Starts a new chain under a new key. The present key, if there is one, is kept beside it under its signer's name.
   * Returns where it went.
   */
  async startNewKey(): Promise<{ readonly key: SigningKey; readonly oldKeptAt?: string }> {
    const { value } = await this.write(async () => {
      const path = keyPathOf(this.path);
      const old = readSigningKey(path);
      const oldKeptAt = old && `${path}.${old.signer.slice(0, 16)}`;
      if (oldKeptAt !== undefined) renameSync(path, oldKeptAt);
      const key = makeSigningKey(path);
      await knowSigner(this.db, key.signer, true, new Date().toISOString());
      return oldKeptAt === undefined ? { key } : { key, oldKeptAt };
    });
    return value;
  }

  /**
   * Copies the store to a new file while it is in use, and seals the copy's pages. The key is not part of it.
   * `onProgress` hears the share done, 0 to 1. Throws `conflict` if the file is there already.
   */
  backUp(
    target: string,
    onProgress?: (share: number) => void,
  ): Promise<{ readonly bytes: number; readonly records: number }> {
    return backUpStore(this.#open, this.path, target, onProgress);
  }

  /** Ends the store's use. What a reader kept from being settled earlier is settled now. */
  async close(): Promise<void> {
    try {
      if (this.#writes && this.#open.sqlite.open && needsSettling(this.path)) await this.write(async () => undefined);
    } catch (error) {
      // What is committed is safe in the log; the next writer settles it.
      if (!isRecordsError(error)) throw error;
    } finally {
      this.#open.sqlite.close();
    }
  }
}

/** Tries to settle what a writer before left behind; if that cannot be now, new records still go into the log. */
function settledBefore(sqlite: OpenDatabase["sqlite"], path: string): boolean {
  try {
    return settleLog(sqlite, path, false);
  } catch (error) {
    const failure = asRecordsError(error, path);
    if (isRecordsError(failure) && failure.code === "disk-full") return false;
    throw error;
  }
}

function unsettledWords(failure: unknown): string {
  const why =
    isRecordsError(failure) && failure.code === "disk-full"
      ? "the disk is full: free some space"
      : failure instanceof Error
        ? failure.message
        : String(failure);
  return `Saved and safe in the store's log; but the log could not be moved into the store's file: ${why}.`;
}
