import type { Kysely } from "kysely";
import type { Photo } from "../photos/photo.js";
import type { PinwalkRecord } from "../record-schema.js";
import { entryRows } from "./entry-rows.js";
import type { StoreTables } from "./store-tables.js";

/** A record that was checked, ready to be laid down. */
export interface CheckedRecord {
  readonly record: PinwalkRecord;
  readonly text: string;
  readonly hash: string;
  readonly signature: string;
}

/** Makes a signer known, or makes a known one this shop's own. Within the caller's transaction. */
export async function knowSigner(db: Kysely<StoreTables>, signer: string, own: boolean, now: string): Promise<void> {
  await db
    .insertInto("chain")
    .values({ signer, own: own ? 1 : 0, added_at: now })
    .onConflict((conflict) =>
      own ? conflict.column("signer").doUpdateSet({ own: 1 }) : conflict.column("signer").doNothing(),
    )
    .execute();
}

/** Lays down photos that are not there yet. Within the caller's transaction. */
export async function insertPhotos(
  db: Kysely<StoreTables>,
  photos: readonly Pick<Photo, "sha256" | "type" | "data">[],
): Promise<void> {
  for (const { sha256, type, data } of photos)
    await db
      .insertInto("photo")
      .values({ sha256, type, data })
      .onConflict((conflict) => conflict.column("sha256").doNothing())
      .execute();
}

/** Lays down one record with everything derived from it, within the caller's transaction; its photos are there. Returns its `seq`. */
export async function insertRecord(db: Kysely<StoreTables>, checked: CheckedRecord): Promise<number> {
  const { entry, search } = entryRows(checked);
  const row = await db.insertInto("record_entry").values(entry).returning("seq").executeTakeFirstOrThrow();
  await db
    .insertInto("record_search")
    .values({ ...search, seq: row.seq })
    .execute();
  await db
    .insertInto("record_document")
    .values({ seq: row.seq, document: checked.text, signature: checked.signature })
    .execute();
  const hashes = new Set(checked.record.photos.map((photo) => photo.sha256));
  for (const sha256 of hashes) await db.insertInto("record_photo").values({ seq: row.seq, sha256 }).execute();
  return row.seq;
}
