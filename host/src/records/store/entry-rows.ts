import type { Insertable } from "kysely";
import type { SealedRecord } from "../record-schema.js";
import { serialKey } from "./folded-text.js";
import { searchedText } from "./searched-text.js";
import type { StoreTables } from "./store-tables.js";

/** The rows that a record fills besides its document. All are derived from the document, so verifying can derive them again. */
export interface EntryRows {
  readonly entry: Omit<Insertable<StoreTables["record_entry"]>, "seq">;
  readonly search: Omit<Insertable<StoreTables["record_search"]>, "seq">;
}

function utc(time: string): string {
  return new Date(time).toISOString();
}

/** Derives a record's rows. Times are turned into UTC so that they sort. */
export function entryRows({ record, hash }: Pick<SealedRecord, "record" | "hash">): EntryRows {
  const testedAt = utc(record.readings.takenAt);
  return {
    entry: {
      hash,
      signer: record.signer,
      number: record.number,
      saved_at: utc(record.savedAt),
      tested_at: testedAt,
      verdict: record.findings.overall,
      subject_kind: record.subject.kind,
      serial: record.subject.serial,
      serial_key: serialKey(record.subject.serial),
      description: record.subject.description ?? null,
      customer: record.customer ?? null,
      plan_name: record.plan.name,
      person: record.person,
      shop: record.shop ?? null,
      batch: record.batch ?? null,
      corrects_hash: record.corrects?.hash ?? null,
      bench: record.readings.tester.id,
    },
    search: {
      tested_at: testedAt,
      verdict: record.findings.overall,
      text: searchedText(record),
    },
  };
}
