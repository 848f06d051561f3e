import type { Generated } from "kysely";

/**
 * The tables as the query builder sees them. Texts and whole numbers only, so that another database can hold them.
 * `seq` counts what came into this store, own and foreign, in order of arrival.
 */
export interface StoreTables {
  store_schema: { version: number; applied_at: string };
  /** One row a signer. `own` is 1 for the keys of this shop. */
  chain: { signer: string; own: number; added_at: string };
  /** What lists show of a record. */
  record_entry: {
    seq: Generated<number>;
    hash: string;
    signer: string;
    number: number;
    saved_at: string;
    tested_at: string;
    verdict: string;
    subject_kind: string;
    serial: string;
    serial_key: string;
    description: string | null;
    customer: string | null;
    plan_name: string;
    person: string;
    shop: string | null;
    batch: string | null;
    corrects_hash: string | null;
    bench: string;
  };
  /** Narrow rows that a search can run through: all texts folded into one (`searched-text.ts`), times in UTC. */
  record_search: { seq: number; tested_at: string; verdict: string; text: string };
  /** The canonical JSON that was hashed, and the signature. */
  record_document: { seq: number; document: string; signature: string };
  record_photo: { seq: number; sha256: string };
  photo: { sha256: string; type: string; data: Uint8Array };
}
