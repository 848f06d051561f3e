import { existsSync } from "node:fs";
import { readBundle } from "../bundle/read-bundle.js";
import { chainProblem } from "../chain/check-record.js";
import { signerName } from "../chain/record-signature.js";
import { isRecordsError, RecordsError } from "../records-error.js";
import { VerifyNotes, type VerifyOptions, type VerifyReport } from "./verify-report.js";

/**
 * Checks one exported file by itself, offline: every line, every record's hash and signature, the links of records that follow
 * each other, photos, and the seal of the one who exported. Never throws for damage: damage is the report.
 */
export async function verifyBundle(path: string, options: VerifyOptions = {}): Promise<VerifyReport> {
  if (!existsSync(path)) throw new RecordsError("no-store", `${path}: there is no such file.`);
  const notes = new VerifyNotes();
  const photos = new Set<string>();
  const hashes = new Set<string>();
  let all = 0;
  try {
    for await (const item of readBundle(path)) {
      if (item.kind === "head") {
        all = item.head.records;
        notes.remark(`Exported ${item.head.exportedAt} by signer ${signerName(item.head.signer)}.`);
      } else if (item.kind === "photo") photos.add(item.photo.sha256);
      else if (item.kind === "problem") notes.problem(`line ${item.lineNumber}`, item.problem);
      else if (item.kind === "bad-record") {
        notes.looked();
        const { signer, number, hash, serial, problem, lineNumber } = item;
        notes.bad({ signer, number, hash, serial, problem: `line ${lineNumber}: ${problem}` });
      } else if (item.kind === "record") {
        const { envelope, hash } = item;
        notes.looked();
        hashes.add(hash);
        const missing = (envelope.photos ?? []).find((photo) => !photos.has(photo.sha256));
        const problem =
          chainProblem(envelope, notes.last(envelope.signer)) ??
          (missing && `its photo ${missing.sha256.slice(0, 12)} is not in the file`);
        if (problem) notes.bad({ signer: envelope.signer, number: envelope.number, hash, serial: null, problem });
        if (envelope.number !== (notes.last(envelope.signer)?.number ?? 0) + 1)
          notes.remark(
            `Of signer ${signerName(envelope.signer)} not every record is in the file, which is no fault of an excerpt.`,
          );
        notes.joined(envelope.signer, envelope.number, hash, false);
        options.onProgress?.(notes.records, all);
      }
    }
  } catch (error) {
    if (!isRecordsError(error)) throw error;
    notes.problem("file", error.message);
  }
  if (options.has !== undefined) {
    const wanted = options.has.toLowerCase().replace(/[^0-9a-f]/g, "");
    if (wanted.length < 8 || ![...hashes].some((hash) => hash.startsWith(wanted)))
      notes.problem("certificate", `no record that holds in this file has the hash ${options.has}`);
  }
  return notes.report("export", path);
}
