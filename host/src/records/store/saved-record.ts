import type { Selectable } from "kysely";
import type { PinwalkRecord, SealedRecord } from "../record-schema.js";
import type { StoreTables } from "./store-tables.js";

/** What a list shows of a record; times in UTC. `seq` orders by arrival in this store and pages through a search. */
export interface RecordSummary {
  readonly seq: number;
  readonly hash: string;
  readonly signer: string;
  /** True if one of this shop's keys signed it. */
  readonly own: boolean;
  readonly number: number;
  readonly savedAt: string;
  readonly testedAt: string;
  readonly verdict: "pass" | "fail" | "unsure";
  readonly subjectKind: "vehicle" | "cable";
  readonly serial: string;
  readonly description: string | null;
  readonly customer: string | null;
  readonly planName: string;
  readonly person: string;
  readonly shop: string | null;
  readonly batch: string | null;
  readonly bench: string;
  /** Hash of the older record that this one puts right. */
  readonly corrects: string | null;
  /** Hash of the newest record, of this shop or of the same signer, that puts this one right. */
  readonly correctedBy: string | null;
}

/** A record as it lies in the store. `text` is the canonical JSON that was hashed. */
export interface SavedRecord extends SealedRecord {
  readonly summary: RecordSummary;
  readonly text: string;
}

export type EntryRow = Selectable<StoreTables["record_entry"]> & {
  readonly own: number;
  readonly corrected_by: string | null;
};

/** A row as the rest of the program sees it. */
export function summaryOf(row: EntryRow): RecordSummary {
  return {
    seq: row.seq,
    hash: row.hash,
    signer: row.signer,
    own: row.own === 1,
    number: row.number,
    savedAt: row.saved_at,
    testedAt: row.tested_at,
    verdict: row.verdict as RecordSummary["verdict"],
    subjectKind: row.subject_kind as RecordSummary["subjectKind"],
    serial: row.serial,
    description: row.description,
    customer: row.customer,
    planName: row.plan_name,
    person: row.person,
    shop: row.shop,
    batch: row.batch,
    bench: row.bench,
    corrects: row.corrects_hash,
    correctedBy: row.corrected_by,
  };
}

/** A row with its document. What the store holds was checked when it came in; whether it still holds, verifying says. */
export function savedRecordOf(row: EntryRow & { readonly document: string; readonly signature: string }): SavedRecord {
  return {
    summary: summaryOf(row),
    record: JSON.parse(row.document) as PinwalkRecord,
    text: row.document,
    hash: row.hash,
    signature: row.signature,
  };
}
