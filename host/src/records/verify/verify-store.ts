import { existsSync } from "node:fs";
import { setImmediate as breathe } from "node:timers/promises";
import { asRecordsError, isRecordsError, RecordsError } from "../records-error.js";
import { type OpenDatabase, openForReading, openForWriting } from "../store/open-database.js";
import { checkPageSeal } from "../store/page-seal.js";
import { needsSettling, settleLog } from "../store/settle-log.js";
import { whileStoreIsMine } from "../store/store-lock.js";
import { walPages } from "../store/wal-pages.js";
import { checkChains } from "./check-chains.js";
import { checkDatabase, ownerOfPage } from "./check-database.js";
import { VerifyNotes, type VerifyOptions, type VerifyReport } from "./verify-report.js";

const noPages: ReadonlySet<number> = new Set();

/**
 * Brings a store that a killed writer left behind into its settled state; the log is part of what was confirmed. Where that
 * cannot be (a full disk, a read-only folder) it gives the pages that the log holds, whose place in the file is not final.
 */
async function settleFirst(path: string, notes: VerifyNotes): Promise<ReadonlySet<number>> {
  if (!needsSettling(path)) return noPages;
  try {
    const open = openForWriting(path);
    try {
      if (settleLog(open.sqlite, path, false)) {
        notes.remark("A writer had been cut off; what it had confirmed was moved from the log into the file first.");
        return noPages;
      }
    } finally {
      open.sqlite.close();
    }
  } catch (error) {
    const failure = asRecordsError(error, path);
    if (!isRecordsError(failure) || !["disk-full", "read-only"].includes(failure.code)) throw failure;
  }
  return pendingPages(path, notes);
}

function pendingPages(path: string, notes: VerifyNotes): ReadonlySet<number> {
  if (!needsSettling(path)) return noPages;
  notes.remark(
    "The log beside the file could not be moved into it; the pages that it holds are checked by their records alone.",
  );
  return walPages(`${path}-wal`);
}

function notePages(path: string, pending: ReadonlySet<number>, notes: VerifyNotes): readonly number[] {
  const check = checkPageSeal(path);
  if (check.kind === "no-seal") {
    notes.remark(
      "There is no page seal beside the file (it was copied without it, or is of another origin): records are checked " +
        "by their own hashes and signatures, space not in use is not.",
    );
    return [];
  }
  if (check.problem && pending.size === 0) notes.problem("file", check.problem);
  const changed = check.changed.filter(({ page }) => !pending.has(page));
  return changed.map(({ page, atByte, earlier }) => {
    const when = earlier ? "had been changed by something else before it was last written" : "is not what was written";
    notes.problem(`page ${page} (from byte ${atByte})`, `it ${when}`);
    return page;
  });
}

function noteOwners(open: OpenDatabase, pages: readonly number[], notes: VerifyNotes): void {
  for (const page of pages.slice(0, 20)) {
    const owner = ownerOfPage(open, page);
    if (owner) notes.remark(`Page ${page} belongs to ${owner}.`);
  }
}

/**
 * Checks a whole store without changing what it holds: every page of the file against its seal, the database's own
 * structure, every record's hash and signature, every chain from its first record on, every photo, and that
 * what lists show is what the records say. Never throws for damage: damage is the report.
 */
export async function verifyStore(path: string, options: VerifyOptions = {}): Promise<VerifyReport> {
  if (!existsSync(path)) throw new RecordsError("no-store", `${path}: there is no record store yet.`);
  const notes = new VerifyNotes();
  let pages: readonly number[] = [];
  try {
    await whileStoreIsMine(path, 10_000, async () => {
      pages = notePages(path, await settleFirst(path, notes), notes);
    });
  } catch (error) {
    if (!isRecordsError(error)) throw error;
    if (error.code === "read-only" || error.code === "disk-full")
      pages = notePages(path, pendingPages(path, notes), notes);
    else notes.problem("file", error.message);
  }
  await breathe();
  let open: OpenDatabase;
  try {
    open = openForReading(path);
  } catch (error) {
    if (!isRecordsError(error)) throw error;
    notes.problem("file", error.message);
    return notes.report("store", path);
  }
  try {
    noteOwners(open, pages, notes);
    await checkDatabase(open, notes);
    await checkChains(open, notes, options);
  } finally {
    open.sqlite.close();
  }
  return notes.report("store", path);
}
