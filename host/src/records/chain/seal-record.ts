import type { PinwalkRecord, RecordPhoto, SealedRecord } from "../record-schema.js";
import { type Job, recordSchema } from "../record-schema.js";
import { RecordsError } from "../records-error.js";
import { canonicalJson } from "./canonical-json.js";
import { noRecordBefore, sha256Hex } from "./record-hash.js";
import { signHash } from "./record-signature.js";
import type { SigningKey } from "./signing-key.js";

/** Where a chain stands: number and hash of its last record. */
export interface ChainHead {
  readonly number: number;
  readonly hash: string;
}

/** What the computer knows of the moment of saving. */
export interface SavingMoment {
  readonly savedAt: string;
  readonly zone: string;
  readonly version: string;
}

/** A time as ISO 8601 with the computer's own offset from UTC, to the millisecond: `2026-11-25T16:04:05.000+01:00`. */
export function localIsoTime(date: Date): string {
  const offsetMinutes = -date.getTimezoneOffset();
  const local = new Date(date.getTime() + offsetMinutes * 60_000).toISOString().slice(0, -1);
  const absolute = Math.abs(offsetMinutes);
  const two = (value: number): string => String(value).padStart(2, "0");
  return `${local}${offsetMinutes < 0 ? "-" : "+"}${two(Math.floor(absolute / 60))}:${two(absolute % 60)}`;
}

/** Asking for it takes most of a millisecond, and a running program does not travel. */
const ownZone = Intl.DateTimeFormat().resolvedOptions().timeZone;

/** The moment now, in the computer's zone. */
export function savingMoment(version: string, now: Date = new Date()): SavingMoment {
  return { savedAt: localIsoTime(now), zone: ownZone, version };
}

/**
 * Makes the next record of a chain out of a job and signs it. `text` is the canonical JSON over which the hash was
 * taken: this very text is what gets stored. Throws `not-a-record` with the path of what is wrong.
 */
export function sealRecord(
  job: Job,
  photos: readonly RecordPhoto[],
  head: ChainHead | undefined,
  key: SigningKey,
  moment: SavingMoment,
): SealedRecord & { readonly text: string } {
  const record: PinwalkRecord = {
    format: "pinwalk-record/1",
    number: (head?.number ?? 0) + 1,
    previous: head?.hash ?? noRecordBefore,
    signer: key.signer,
    savedAt: moment.savedAt,
    zone: moment.zone,
    program: { name: "pinwalk", version: moment.version },
    ...job,
    photos: [...photos],
  };
  const checked = recordSchema.safeParse(record);
  if (!checked.success) {
    const issue = checked.error.issues[0];
    const path = issue?.path.join(".") ?? "";
    throw new RecordsError(
      "not-a-record",
      `This cannot be kept as a record: ${path || "record"}: ${issue?.message ?? ""}.`,
    );
  }
  const text = canonicalJson(record);
  const hash = sha256Hex(text);
  return { record, hash, signature: signHash(key.privateKey, "pinwalk-record/1", hash), text };
}
