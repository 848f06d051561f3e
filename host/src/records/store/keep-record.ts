import type { Kysely } from "kysely";
import { NotCanonical } from "../chain/canonical-json.js";
import { type ChainHead, savingMoment, sealRecord } from "../chain/seal-record.js";
import { keyPathOf, makeSigningKey, readSigningKey, type SigningKey } from "../chain/signing-key.js";
import { type Photo, takePhoto } from "../photos/photo.js";
import type { RecordDraft, RecordPhoto, SealedRecord } from "../record-schema.js";
import { RecordsError } from "../records-error.js";
import { insertPhotos, insertRecord, knowSigner } from "./insert-record.js";
import { readRecord } from "./search-records.js";
import type { StoreTables } from "./store-tables.js";

/** A photo that was taken in, with the lines that the record has of it. */
export type NamedPhoto = Photo & { readonly entry: RecordPhoto };

/** Takes a draft's photos in before anything is locked. Throws `not-a-photo`, naming which. */
export function takePhotos(photos: RecordDraft["photos"]): readonly NamedPhoto[] {
  return (photos ?? []).map((photo, index) => {
    try {
      const taken = takePhoto(photo.data);
      const { sha256, type, bytes, width, height } = taken;
      const caption = photo.caption === undefined ? {} : { caption: photo.caption };
      return { ...taken, entry: { sha256, type, bytes, width, height, ...caption } };
    } catch (error) {
      if (error instanceof RecordsError) throw new RecordsError(error.code, `Photo ${index + 1}: ${error.message}`);
      throw error;
    }
  });
}

/** Lays down the next record of the shop's chain, within the caller's transaction and lock. */
export async function keepRecord(
  db: Kysely<StoreTables>,
  storePath: string,
  draft: RecordDraft,
  photos: readonly NamedPhoto[],
  version: string,
): Promise<SealedRecord & { readonly seq: number }> {
  if (draft.job.corrects) await readRecord(db, draft.job.corrects.hash);
  const key = await keyFor(db, keyPathOf(storePath));
  await knowSigner(db, key.signer, true, new Date().toISOString());
  const sealed = sealOrRefuse(draft, photos, await headOf(db, key.signer), key, version);
  await insertPhotos(db, photos);
  const seq = await insertRecord(db, sealed);
  return { record: sealed.record, hash: sealed.hash, signature: sealed.signature, seq };
}

async function keyFor(db: Kysely<StoreTables>, keyPath: string): Promise<SigningKey> {
  const key = readSigningKey(keyPath);
  if (key) return key;
  const own = await db.selectFrom("chain").select("signer").where("own", "=", 1).executeTakeFirst();
  if (own)
    throw new RecordsError(
      "key-missing",
      `${keyPath}: the key that signed the records so far is not there. Put your copy of it back; if it is lost for good, ` +
        "start a new chain under a new key (pinwalk records key --start-new). Nothing was saved.",
    );
  return makeSigningKey(keyPath);
}

async function headOf(db: Kysely<StoreTables>, signer: string): Promise<ChainHead | undefined> {
  return db
    .selectFrom("record_entry")
    .select(["number", "hash"])
    .where("signer", "=", signer)
    .orderBy("number", "desc")
    .limit(1)
    .executeTakeFirst();
}

function sealOrRefuse(
  draft: RecordDraft,
  photos: readonly NamedPhoto[],
  head: ChainHead | undefined,
  key: SigningKey,
  version: string,
) {
  try {
    const entries = photos.map((photo) => photo.entry);
    return sealRecord(draft.job, entries, head, key, savingMoment(version));
  } catch (error) {
    if (error instanceof NotCanonical)
      throw new RecordsError("not-a-record", `This cannot be kept as a record: ${error.message}.`);
    throw error;
  }
}
