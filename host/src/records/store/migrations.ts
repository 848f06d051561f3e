import { type Kysely, type SqlBool, sql } from "kysely";
import { RecordsError } from "../records-error.js";
import type { StoreTables } from "./store-tables.js";
import { wholeTransaction } from "./whole-transaction.js";

type Migration = (db: Kysely<StoreTables>) => Promise<void>;

/** Version 1: records, the narrow search table, documents, photos, signers. */
const firstTables: Migration = async (db) => {
  await db.schema
    .createTable("chain")
    .addColumn("signer", "text", (column) => column.primaryKey())
    .addColumn("own", "integer", (column) => column.notNull())
    .addColumn("added_at", "text", (column) => column.notNull())
    .execute();
  await db.schema
    .createTable("record_entry")
    .addColumn("seq", "integer", (column) => column.primaryKey())
    .addColumn("hash", "text", (column) => column.notNull().unique())
    .addColumn("signer", "text", (column) => column.notNull().references("chain.signer"))
    .addColumn("number", "integer", (column) => column.notNull())
    .addColumn("saved_at", "text", (column) => column.notNull())
    .addColumn("tested_at", "text", (column) => column.notNull())
    .addColumn("verdict", "text", (column) => column.notNull())
    .addColumn("subject_kind", "text", (column) => column.notNull())
    .addColumn("serial", "text", (column) => column.notNull())
    .addColumn("serial_key", "text", (column) => column.notNull())
    .addColumn("description", "text")
    .addColumn("customer", "text")
    .addColumn("plan_name", "text", (column) => column.notNull())
    .addColumn("person", "text", (column) => column.notNull())
    .addColumn("shop", "text")
    .addColumn("batch", "text")
    .addColumn("corrects_hash", "text")
    .addColumn("bench", "text", (column) => column.notNull())
    .addUniqueConstraint("record_entry_place", ["signer", "number"])
    .execute();
  await db.schema.createIndex("record_entry_serial").on("record_entry").columns(["serial_key", "seq"]).execute();
  await db.schema
    .createIndex("record_entry_batch")
    .on("record_entry")
    .columns(["batch", "seq"])
    .where(sql<SqlBool>`batch is not null`)
    .execute();
  await db.schema
    .createIndex("record_entry_corrects")
    .on("record_entry")
    .column("corrects_hash")
    .where(sql<SqlBool>`corrects_hash is not null`)
    .execute();
  await db.schema
    .createTable("record_search")
    .addColumn("seq", "integer", (column) => column.primaryKey().references("record_entry.seq"))
    .addColumn("tested_at", "text", (column) => column.notNull())
    .addColumn("verdict", "text", (column) => column.notNull())
    .addColumn("text", "text", (column) => column.notNull())
    .execute();
  await db.schema
    .createTable("record_document")
    .addColumn("seq", "integer", (column) => column.primaryKey().references("record_entry.seq"))
    .addColumn("document", "text", (column) => column.notNull())
    .addColumn("signature", "text", (column) => column.notNull())
    .execute();
  await db.schema
    .createTable("photo")
    .addColumn("sha256", "text", (column) => column.primaryKey())
    .addColumn("type", "text", (column) => column.notNull())
    .addColumn("data", "blob", (column) => column.notNull())
    .execute();
  await db.schema
    .createTable("record_photo")
    .addColumn("seq", "integer", (column) => column.notNull().references("record_entry.seq"))
    .addColumn("sha256", "text", (column) => column.notNull().references("photo.sha256"))
    .addPrimaryKeyConstraint("record_photo_pair", ["seq", "sha256"])
    .execute();
};

/** In order; a migration is never changed once it was published, only followed by another. */
const migrations: readonly Migration[] = [firstTables];

/** The schema version that this program writes. */
export const schemaVersion = migrations.length;

/** The version that a store with a `store_schema` table has; 0 if nothing was applied yet. */
async function versionOf(db: Kysely<StoreTables>): Promise<number> {
  const row = await db
    .selectFrom("store_schema")
    .select(({ fn }) => fn.max("version").as("version"))
    .executeTakeFirst();
  return Number(row?.version ?? 0);
}

function newerStore(version: number): RecordsError {
  return new RecordsError(
    "newer-store",
    `This store has schema version ${version}; this program knows ${schemaVersion}. Use the newer program.`,
  );
}

/**
 * Brings a store to the present schema, each step whole or not at all. Throws `newer-store` for a store of a later program.
 */
export async function migrate(db: Kysely<StoreTables>, now: () => string): Promise<void> {
  await db.schema
    .createTable("store_schema")
    .ifNotExists()
    .addColumn("version", "integer", (column) => column.primaryKey())
    .addColumn("applied_at", "text", (column) => column.notNull())
    .execute();
  const present = await versionOf(db);
  if (present > schemaVersion) throw newerStore(present);
  for (let version = present + 1; version <= schemaVersion; version++) {
    const migration = migrations[version - 1];
    if (!migration) return;
    await wholeTransaction(db, async (transaction) => {
      await migration(transaction);
      await transaction.insertInto("store_schema").values({ version, applied_at: now() }).execute();
    });
  }
}

/** Refuses a store whose schema is not the present one, without changing it. Throws `newer-store`, `not-a-store`. */
export async function requirePresentSchema(db: Kysely<StoreTables>, path: string): Promise<void> {
  const tables = await db.introspection.getTables();
  const version = tables.some((table) => table.name === "store_schema") ? await versionOf(db) : 0;
  if (version > schemaVersion) throw newerStore(version);
  if (version < schemaVersion)
    throw new RecordsError(
      "not-a-store",
      `${path}: this store has no records yet, or is older than this program; keep a record first.`,
    );
}
