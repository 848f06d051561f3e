import { type Expression, type Kysely, type SqlBool, sql } from "kysely";
import { RecordsError } from "../records-error.js";
import { foldedText, serialKey } from "./folded-text.js";
import { type EntryRow, type RecordSummary, type SavedRecord, savedRecordOf, summaryOf } from "./saved-record.js";
import { type SearchedPart, searchPattern } from "./searched-text.js";
import type { StoreTables } from "./store-tables.js";

/** What to look for. Texts match anywhere, whatever their case and accents; several words must all be there. */
export interface RecordQuery {
  /** Looks into customer, serial number, description, plan, person, batch and notes. */
  readonly text?: string;
  readonly customer?: string;
  /** Serial number or description of the vehicle or cable. */
  readonly subject?: string;
  readonly plan?: string;
  readonly verdict?: RecordSummary["verdict"];
  readonly kind?: RecordSummary["subjectKind"];
  /** Exactly this serial number, whatever its blanks and hyphens. */
  readonly serial?: string;
  readonly batch?: string;
  /** Tested at or after, and before, these moments (ISO 8601). */
  readonly since?: string;
  readonly until?: string;
  readonly signer?: string;
  readonly own?: boolean;
  /** Continue after the record with this `seq`. */
  readonly before?: number;
  /** 1 to 1000; 50 if silent. */
  readonly limit?: number;
}

/** Newest first. `nextBefore` continues the search; null at its end. */
export interface RecordPage {
  readonly records: readonly RecordSummary[];
  readonly nextBefore: number | null;
}

export const mostPerPage = 1000;

function wordsOf(text: string): readonly string[] {
  return foldedText(text)
    .split(" ")
    .filter((word) => word !== "");
}

function contains(column: Expression<string>, word: string, part?: SearchedPart): Expression<SqlBool> {
  return sql<SqlBool>`${column} like ${searchPattern(word, part)} escape '\\'`;
}

/**
 * The entry with its signer's standing and its newest correction, for lists and for reading. Another shop's record cannot put right
 * one of this shop's.
 */
export function entryQuery(db: Kysely<StoreTables>) {
  return db
    .selectFrom("record_entry as e")
    .innerJoin("chain as c", "c.signer", "e.signer")
    .selectAll("e")
    .select("c.own as own")
    .select(
      sql<string | null>`(select k.hash from record_entry k join chain kc on kc.signer = k.signer
        where k.corrects_hash = e.hash and (kc.own = 1 or k.signer = e.signer) order by k.seq desc limit 1)`.as(
        "corrected_by",
      ),
    );
}

/**
 * Searches. Without an exact serial number or batch it runs through the narrow search table, newest first, and stops
 * when the page is full; with one it uses an index.
 */
export async function searchRecords(db: Kysely<StoreTables>, query: RecordQuery): Promise<RecordPage> {
  const limit = Math.min(Math.max(1, Math.floor(query.limit ?? 50)), mostPerPage);
  let found = entryQuery(db).innerJoin("record_search as s", "s.seq", "e.seq");
  if (query.verdict !== undefined) found = found.where("s.verdict", "=", query.verdict);
  if (query.since !== undefined) found = found.where("s.tested_at", ">=", query.since);
  if (query.until !== undefined) found = found.where("s.tested_at", "<", query.until);
  for (const part of ["customer", "subject", "plan"] as const)
    for (const word of wordsOf(query[part] ?? ""))
      found = found.where(({ ref }) => contains(ref("s.text"), word, part));
  for (const word of wordsOf(query.text ?? "")) found = found.where(({ ref }) => contains(ref("s.text"), word));
  if (query.serial !== undefined) found = found.where("e.serial_key", "=", serialKey(query.serial));
  if (query.batch !== undefined) found = found.where("e.batch", "=", query.batch);
  if (query.kind !== undefined) found = found.where("e.subject_kind", "=", query.kind);
  if (query.signer !== undefined) found = found.where("e.signer", "=", query.signer);
  if (query.own !== undefined) found = found.where("c.own", "=", query.own ? 1 : 0);
  if (query.before !== undefined) found = found.where("s.seq", "<", query.before);
  const byIndex = query.serial !== undefined || query.batch !== undefined;
  const rows = (await found
    .orderBy(byIndex ? "e.seq" : "s.seq", "desc")
    .limit(limit + 1)
    .execute()) as EntryRow[];
  const records = rows.slice(0, limit).map(summaryOf);
  return { records, nextBefore: rows.length > limit ? (records.at(-1)?.seq ?? null) : null };
}

/**
 * Reads the record that a person names: by its hash, by at least 6 first digits of it, or by its number in this shop's newest chain
 * (`17` or `#17`). Throws `no-such-record`, `ambiguous`.
 */
export async function readRecord(db: Kysely<StoreTables>, reference: string): Promise<SavedRecord> {
  const named = reference.trim().toLowerCase();
  const number = /^#?(\d{1,9})$/.exec(named)?.[1];
  const documents = () =>
    entryQuery(db).innerJoin("record_document as d", "d.seq", "e.seq").select(["d.document", "d.signature"]);
  let rows: (EntryRow & { document: string; signature: string })[] = [];
  if (/^[0-9a-f]{6,64}$/.test(named))
    rows = await documents().where("e.hash", ">=", named).where("e.hash", "<=", `${named}g`).limit(2).execute();
  if (rows.length === 0 && number !== undefined)
    rows = await documents()
      .where("c.own", "=", 1)
      .where("e.number", "=", Number(number))
      .orderBy("e.seq", "desc")
      .limit(1)
      .execute();
  const [row] = rows;
  if (!row) throw new RecordsError("no-such-record", `There is no record ${reference} in this store.`);
  if (rows.length > 1)
    throw new RecordsError("ambiguous", `Several records begin with ${reference}: give more digits of the hash.`);
  return savedRecordOf(row);
}

/** All records of one vehicle or cable in order of testing, the oldest first; the newest 500 if there are more. */
export async function historyOf(db: Kysely<StoreTables>, serial: string): Promise<readonly SavedRecord[]> {
  return readMany(db, serial, "serial_key");
}

/** All records of a batch in order of testing; the newest 5000 if there are more. */
export async function batchOf(db: Kysely<StoreTables>, batch: string): Promise<readonly SavedRecord[]> {
  return readMany(db, batch, "batch");
}

async function readMany(
  db: Kysely<StoreTables>,
  wanted: string,
  by: "serial_key" | "batch",
): Promise<readonly SavedRecord[]> {
  const rows = await entryQuery(db)
    .innerJoin("record_document as d", "d.seq", "e.seq")
    .select(["d.document", "d.signature"])
    .where(`e.${by}`, "=", by === "batch" ? wanted : serialKey(wanted))
    .orderBy("e.seq", "desc")
    .limit(by === "batch" ? 5000 : 500)
    .execute();
  return rows
    .map(savedRecordOf)
    .sort((a, b) => a.summary.testedAt.localeCompare(b.summary.testedAt) || a.summary.seq - b.summary.seq);
}
