import { isRecordsError } from "../../records/records-error.js";
import { RecordStore } from "../../records/store/record-store.js";

/**
 * The record store as the server holds it: opened when it is first needed, made when the first record is kept. A
 * failure to open is not remembered, so that a person can mend it and try again.
 */
export class OpenStore {
  readonly path: string;
  readonly version: string;
  #reader: Promise<RecordStore> | null = null;
  #writer: Promise<RecordStore> | null = null;

  constructor(path: string, version: string) {
    this.path = path;
    this.version = version;
  }

  /** To look into; undefined while there is no store. Throws a RecordsError. */
  async toRead(): Promise<RecordStore | undefined> {
    if (this.#writer) return this.#writer;
    this.#reader ??= RecordStore.openForReading(this.path, { version: this.version });
    try {
      return await this.#reader;
    } catch (error) {
      this.#reader = null;
      if (isRecordsError(error) && error.code === "no-store") return undefined;
      throw error;
    }
  }

  /** To keep records in. Throws a RecordsError. */
  async toWrite(): Promise<RecordStore> {
    this.#writer ??= RecordStore.openForWriting(this.path, { version: this.version });
    try {
      return await this.#writer;
    } catch (error) {
      this.#writer = null;
      throw error;
    }
  }

  async close(): Promise<void> {
    for (const store of [this.#reader, this.#writer]) await store?.then((open) => open.close()).catch(() => undefined);
    this.#reader = null;
    this.#writer = null;
  }
}
