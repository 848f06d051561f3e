import type { Selectable } from "kysely";
import type { RecordEnvelope } from "../chain/check-record.js";
import type { PinwalkRecord } from "../record-schema.js";
import { type EntryRows, entryRows } from "../store/entry-rows.js";
import type { StoreTables } from "../store/store-tables.js";

/** A record's rows as they lie in the store. */
export type StoredRow = Selectable<StoreTables["record_entry"]> & {
  readonly document: string | null;
  readonly signature: string | null;
  readonly search_seq: number | null;
  readonly search_tested_at: string | null;
  readonly search_verdict: string | null;
  readonly search_text: string | null;
};

/**
 * Compares what lists and searches show with what the record says; the first difference in words. A record that this program's
 * schema does not understand (one of a later program) is compared in place and signer alone.
 */
export function checkDerived(row: StoredRow, envelope: RecordEnvelope): string | undefined {
  if (row.number !== envelope.number || row.signer !== envelope.signer)
    return `it stands at place ${row.number} but calls itself ${envelope.number}`;
  let rows: EntryRows;
  try {
    // Its hash and signature hold, so it is as it came in; the schema it was checked by then need not be today's.
    rows = entryRows({ record: JSON.parse(row.document ?? "null") as PinwalkRecord, hash: row.hash });
  } catch {
    return undefined;
  }
  const { entry, search } = rows;
  for (const [column, value] of Object.entries(entry))
    if (row[column as keyof StoredRow] !== value) return `the list shows another ${column} than the record says`;
  for (const [column, value] of Object.entries(search))
    if (row[`search_${column}` as keyof StoredRow] !== value)
      return `searches see another ${column} than the record says`;
  return undefined;
}
