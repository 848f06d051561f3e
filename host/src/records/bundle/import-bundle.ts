import type { Kysely } from "kysely";
import { signerName } from "../chain/record-signature.js";
import type { Photo } from "../photos/photo.js";
import { type PinwalkRecord, recordSchema } from "../record-schema.js";
import { RecordsError } from "../records-error.js";
import { insertPhotos, insertRecord, knowSigner } from "../store/insert-record.js";
import type { RecordStore } from "../store/record-store.js";
import type { StoreTables } from "../store/store-tables.js";
import { wholeTransaction } from "../store/whole-transaction.js";
import { type BundleRecord, readBundle } from "./read-bundle.js";

export interface ImportResult {
  readonly added: number;
  /** Records that the store had already. */
  readonly alreadyThere: number;
  /** The one who exported; the signers of the records are in `signers`. */
  readonly exportedBy: string;
  readonly signers: readonly { readonly signer: string; readonly own: boolean; readonly added: number }[];
  readonly remark?: string;
}

function understood(item: BundleRecord): PinwalkRecord {
  const json: unknown = JSON.parse(item.text);
  const parsed = recordSchema.safeParse(json);
  if (parsed.success) return json as PinwalkRecord;
  const issue = parsed.error.issues[0];
  throw new RecordsError(
    "not-a-record",
    `Record ${item.envelope.number} of signer ${signerName(item.envelope.signer)} holds, but this program does not understand it: ` +
      `${issue?.path.join(".") ?? ""}: ${issue?.message ?? ""}. Nothing was imported.`,
  );
}

/** Refuses a record that contradicts what the store has of the same signer: two histories are one too many. */
async function refuseContradiction(db: Kysely<StoreTables>, { envelope, hash }: BundleRecord): Promise<void> {
  const at = (number: number) =>
    db
      .selectFrom("record_entry as e")
      .innerJoin("record_document as d", "d.seq", "e.seq")
      .select(["e.hash", "d.document"])
      .where("e.signer", "=", envelope.signer)
      .where("e.number", "=", number)
      .executeTakeFirst();
  const who = `signer ${signerName(envelope.signer)}`;
  if (await at(envelope.number))
    throw new RecordsError(
      "conflict",
      `The store has another record ${envelope.number} of ${who}: one of the two histories was rewritten. Nothing was imported.`,
    );
  const before = await at(envelope.number - 1);
  const after = await at(envelope.number + 1);
  const follows = after && (JSON.parse(after.document) as { previous: string }).previous;
  if ((before && before.hash !== envelope.previous) || (follows !== undefined && follows !== hash))
    throw new RecordsError(
      "conflict",
      `Record ${envelope.number} of ${who} does not join the records of the same signer in this store. Nothing was imported.`,
    );
}

type PhotoFacts = Omit<Photo, "data">;

function requirePhotos(record: PinwalkRecord, photos: ReadonlyMap<string, PhotoFacts>): void {
  for (const named of record.photos) {
    const photo = photos.get(named.sha256);
    if (
      !photo ||
      photo.type !== named.type ||
      photo.width !== named.width ||
      photo.height !== named.height ||
      photo.bytes !== named.bytes
    )
      throw new RecordsError(
        "does-not-hold",
        `Record ${record.number} names a photo that the file does not hold. Nothing was imported.`,
      );
  }
}

/**
 * Imports an export whole or not at all. Signatures and hashes are checked; records of other shops keep their own signers
 * and are shown as theirs. Throws `does-not-hold` naming the first record that does not, `not-a-record`, `conflict`.
 */
export async function importBundle(store: RecordStore, path: string): Promise<ImportResult> {
  const ownSigner = store.signingKey()?.signer;
  const { value, remark } = await store.write(() =>
    wholeTransaction(store.db, (db) => importInto(db, path, ownSigner)),
  );
  return remark === undefined ? value : { ...value, remark };
}

async function importInto(db: Kysely<StoreTables>, path: string, ownSigner: string | undefined): Promise<ImportResult> {
  // Photos go straight into the transaction; their facts alone stay in memory.
  const photos = new Map<string, PhotoFacts>();
  const unused = new Set<string>();
  const counts = new Map<string, number>();
  const now = new Date().toISOString();
  let exportedBy = "";
  let alreadyThere = 0;
  for await (const item of readBundle(path)) {
    if (item.kind === "head") exportedBy = item.head.signer;
    else if (item.kind === "photo") {
      const { data: _data, ...facts } = item.photo;
      photos.set(facts.sha256, facts);
      await insertPhotos(db, [item.photo]);
      unused.add(item.photo.sha256);
    } else if (item.kind === "bad-record" || item.kind === "problem") throw refusal(item);
    else if (item.kind === "record") {
      const record = understood(item);
      requirePhotos(record, photos);
      for (const photo of record.photos) unused.delete(photo.sha256);
      const known = await db.selectFrom("record_entry").select("seq").where("hash", "=", item.hash).executeTakeFirst();
      if (known) {
        alreadyThere++;
        continue;
      }
      await refuseContradiction(db, item);
      await knowSigner(db, record.signer, record.signer === ownSigner, now);
      await insertRecord(db, { record, text: item.text, hash: item.hash, signature: item.signature });
      counts.set(record.signer, (counts.get(record.signer) ?? 0) + 1);
    }
  }
  if (unused.size > 0)
    throw new RecordsError("does-not-hold", "The file holds photos that no record names. Nothing was imported.");
  const own = await db.selectFrom("chain").select("signer").where("own", "=", 1).execute();
  const owned = new Set(own.map((row) => row.signer));
  const signers = [...counts].map(([signer, added]) => ({ signer, own: owned.has(signer), added }));
  return { added: signers.reduce((sum, { added }) => sum + added, 0), alreadyThere, exportedBy, signers };
}

function refusal(item: {
  kind: "bad-record" | "problem";
  lineNumber: number;
  problem: string;
  number?: number | null;
}) {
  const where =
    item.kind === "bad-record" ? `record ${item.number ?? "?"} (line ${item.lineNumber})` : `line ${item.lineNumber}`;
  return new RecordsError("does-not-hold", `The file does not hold: ${where}: ${item.problem}. Nothing was imported.`);
}
