import { setImmediate as breathe } from "node:timers/promises";
import { sql } from "kysely";
import { chainProblem, checkRecordText } from "../chain/check-record.js";
import { signerName } from "../chain/record-signature.js";
import type { OpenDatabase } from "../store/open-database.js";
import { checkDerived, type StoredRow } from "./check-derived.js";
import { checkStoredPhotos } from "./check-photos.js";
import type { VerifyNotes, VerifyOptions } from "./verify-report.js";

/** Records read in one go; between two goes other work of the process gets its turn. */
const atOnce = 100;

async function readRows(open: OpenDatabase, signer: string, after: number, limit: number): Promise<StoredRow[]> {
  return (await open.db
    .selectFrom("record_entry as e")
    .leftJoin("record_document as d", "d.seq", "e.seq")
    .leftJoin("record_search as s", "s.seq", "e.seq")
    .selectAll("e")
    .select(["d.document", "d.signature"])
    .select([
      "s.seq as search_seq",
      "s.tested_at as search_tested_at",
      "s.verdict as search_verdict",
      "s.text as search_text",
    ])
    .where("e.signer", "=", signer)
    .where("e.number", ">", after)
    .orderBy("e.number")
    .limit(limit)
    .execute()) as StoredRow[];
}

/** What is wrong with a record's place among its signer's records: something before it is gone. */
function placeProblem(row: StoredRow, own: boolean, notes: VerifyNotes): string | undefined {
  const gap = row.number - (notes.last(row.signer)?.number ?? 0) - 1;
  if (gap <= 0) return undefined;
  if (own)
    return `${gap === 1 ? `record ${row.number - 1} is` : `${gap} records before it are`} missing from the chain`;
  notes.remark(`Of signer ${signerName(row.signer)} not every record is here, which is no fault.`);
  return undefined;
}

async function rowProblem(open: OpenDatabase, row: StoredRow, notes: VerifyNotes, photos: Set<string>) {
  if (row.document === null || row.signature === null) return "its text is gone from the store";
  const check = checkRecordText(row.document, row.hash, row.signature);
  if (!check.holds) return check.problem;
  return (
    checkDerived(row, check.envelope) ??
    chainProblem(check.envelope, notes.last(row.signer)) ??
    (await checkStoredPhotos(open, row, check.envelope, photos))
  );
}

async function checkRow(open: OpenDatabase, row: StoredRow, own: boolean, notes: VerifyNotes, photos: Set<string>) {
  notes.looked();
  const { signer, number, hash, serial } = row;
  const problem = placeProblem(row, own, notes) ?? (await rowProblem(open, row, notes, photos));
  if (problem) notes.bad({ signer, number, hash, serial, problem });
  // A record that does not hold still has its place: the next one is not to blame for it.
  notes.joined(signer, number, hash, own);
}

/** Notes a stretch of records that SQLite cannot read, one by one, and goes on behind them. */
async function checkOneByOne(
  open: OpenDatabase,
  signer: string,
  numbers: readonly number[],
  check: (row: StoredRow) => Promise<void>,
  notes: VerifyNotes,
): Promise<void> {
  for (const number of numbers) {
    try {
      const [row] = await readRows(open, signer, number - 1, 1);
      if (row?.number === number) await check(row);
    } catch {
      notes.looked();
      notes.bad({ signer, number, hash: null, serial: null, problem: "the database cannot read it any more" });
    }
  }
}

async function numbersOf(open: OpenDatabase, signer: string): Promise<readonly number[]> {
  const rows = await open.db
    .selectFrom("record_entry")
    .select("number")
    .where("signer", "=", signer)
    .orderBy("number")
    .execute();
  return rows.map((row) => row.number);
}

/** Checks every chain of the store from its first record on. */
export async function checkChains(open: OpenDatabase, notes: VerifyNotes, options: VerifyOptions): Promise<void> {
  try {
    const signers = await open.db
      .selectFrom("record_entry as e")
      .leftJoin("chain as c", "c.signer", "e.signer")
      .select(["e.signer", sql<number>`coalesce(max(c.own), 0)`.as("own"), sql<number>`min(e.seq)`.as("first")])
      .groupBy("e.signer")
      .orderBy("own", "desc")
      .orderBy("first")
      .execute();
    const photos = new Set<string>();
    const numbersBySigner = new Map<string, readonly number[]>();
    for (const { signer } of signers) numbersBySigner.set(signer, await numbersOf(open, signer));
    const all = [...numbersBySigner.values()].reduce((sum, numbers) => sum + numbers.length, 0);
    for (const { signer, own } of signers) {
      const numbers = numbersBySigner.get(signer) ?? [];
      const check = (row: StoredRow) => checkRow(open, row, own === 1, notes, photos);
      for (let index = 0; index < numbers.length; index += atOnce) {
        const stretch = numbers.slice(index, index + atOnce);
        let rows: StoredRow[] | undefined;
        try {
          rows = await readRows(open, signer, (stretch[0] ?? 1) - 1, stretch.length);
        } catch {
          await checkOneByOne(open, signer, stretch, check, notes);
        }
        for (const row of rows ?? []) await check(row);
        options.onProgress?.(notes.records, all);
        await breathe();
      }
    }
    if (options.has !== undefined) await requireHash(open, options.has, notes);
  } catch (error) {
    notes.problem("list of records", `it cannot be read: ${error instanceof Error ? error.message : String(error)}`);
  }
}

async function requireHash(open: OpenDatabase, hash: string, notes: VerifyNotes): Promise<void> {
  const wanted = hash.toLowerCase().replace(/[^0-9a-f]/g, "");
  const row = await open.db
    .selectFrom("record_entry")
    .select("hash")
    .where("hash", ">=", wanted)
    .where("hash", "<=", `${wanted}g`)
    .executeTakeFirst();
  if (!row || wanted.length < 8) notes.problem("certificate", `no record of this store has the hash ${hash}`);
}
