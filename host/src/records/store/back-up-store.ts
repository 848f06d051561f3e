import { existsSync, renameSync, rmSync, statSync } from "node:fs";
import { asRecordsError, RecordsError } from "../records-error.js";
import type { OpenDatabase } from "./open-database.js";
import { pageSealPathOf, sealPages } from "./page-seal.js";

/** Pages copied between two breaths of the event loop. */
const pagesAtOnce = 2000;

function countRecords(sqlite: OpenDatabase["sqlite"]): number {
  return (sqlite.prepare("SELECT count(*) AS n FROM record_entry").get() as { n: number }).n;
}

/**
 * Copies an open store through SQLite's online backup: what is committed when a step runs is what gets copied, and a writer
 * in between restarts it. The copy appears under its name only when it is whole.
 */
export async function backUpStore(
  open: OpenDatabase,
  storePath: string,
  target: string,
  onProgress?: (share: number) => void,
): Promise<{ readonly bytes: number; readonly records: number }> {
  if (existsSync(target))
    throw new RecordsError("conflict", `${target}: there is a file already; a backup never overwrites one.`);
  const part = `${target}.${process.pid}.part`;
  try {
    await open.sqlite.backup(part, {
      progress: ({ totalPages, remainingPages }) => {
        onProgress?.(totalPages === 0 ? 0 : 1 - remainingPages / totalPages);
        return pagesAtOnce;
      },
    });
    const records = countRecords(open.sqlite);
    rmSync(pageSealPathOf(target), { force: true });
    sealPages(part, "all", new Set());
    renameSync(pageSealPathOf(part), pageSealPathOf(target));
    renameSync(part, target);
    return { bytes: statSync(target).size, records };
  } catch (error) {
    for (const left of [part, pageSealPathOf(part)]) rmSync(left, { force: true });
    throw asRecordsError(error, `${storePath} → ${target}`);
  }
}
