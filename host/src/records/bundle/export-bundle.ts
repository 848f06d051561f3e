import { createHash } from "node:crypto";
import { type FileHandle, open, rename, rm } from "node:fs/promises";
import { canonicalJson } from "../chain/canonical-json.js";
import { signHash } from "../chain/record-signature.js";
import { localIsoTime } from "../chain/seal-record.js";
import type { SigningKey } from "../chain/signing-key.js";
import { asRecordsError, RecordsError } from "../records-error.js";
import type { RecordStore } from "../store/record-store.js";
import type { BundleHead } from "./bundle-format.js";

export interface ExportResult {
  readonly records: number;
  readonly photos: number;
  readonly bytes: number;
}

/** Writes lines and keeps the hash of what was written. */
class LineWriter {
  readonly #file: FileHandle;
  readonly #hash = createHash("sha256");
  lines = 0;
  bytes = 0;

  constructor(file: FileHandle) {
    this.#file = file;
  }

  async line(value: unknown): Promise<void> {
    const line = `${canonicalJson(value)}\n`;
    await this.#file.appendFile(line);
    this.#hash.update(line);
    this.lines++;
    this.bytes += Buffer.byteLength(line);
  }

  digest(): string {
    return this.#hash.copy().digest("hex");
  }
}

async function writeLines(
  store: RecordStore,
  hashes: readonly string[],
  key: SigningKey,
  version: string,
  file: FileHandle,
) {
  const writer = new LineWriter(file);
  const photoCount = await store.countPhotosOf(hashes);
  const head: BundleHead = {
    format: "pinwalk-records/1",
    exportedAt: localIsoTime(new Date()),
    program: { name: "pinwalk", version },
    signer: key.signer,
    records: hashes.length,
    photos: photoCount,
  };
  await writer.line(head);
  const written = new Set<string>();
  for (const hash of hashes) {
    const saved = await store.record(hash);
    for (const { sha256 } of saved.record.photos) {
      if (written.has(sha256)) continue;
      const photo = await store.photo(sha256);
      if (!photo)
        throw new RecordsError(
          "does-not-hold",
          `A photo of record ${saved.record.number} is not in the store: verify it.`,
        );
      await writer.line({ photo: { sha256, type: photo.type, data: Buffer.from(photo.data).toString("base64") } });
      written.add(sha256);
    }
    await writer.line({ hash, record: saved.record, signature: saved.signature });
  }
  const sha256 = writer.digest();
  await writer.line({
    seal: { lines: writer.lines, sha256, signature: signHash(key.privateKey, "pinwalk-records/1", sha256) },
  });
  return { records: hashes.length, photos: photoCount, bytes: writer.bytes };
}

/**
 * Writes records (by hash) into a file that another shop's Pinwalk can import and anybody can verify offline. Signed with
 * this shop's key. The file appears when it is whole. Throws `key-missing`, `conflict` (the file is there), `disk-full`.
 */
export async function exportBundle(
  store: RecordStore,
  hashes: readonly string[],
  path: string,
  version: string,
): Promise<ExportResult> {
  const key = store.signingKey();
  if (!key)
    throw new RecordsError(
      "key-missing",
      "An export is signed with this shop's key, and there is none yet: it is made when a record is kept.",
    );
  const part = `${path}.${process.pid}.part`;
  try {
    const file = await open(part, "wx", 0o600);
    try {
      const result = await writeLines(store, hashes, key, version, file);
      await file.sync();
      await rename(part, path);
      return result;
    } finally {
      await file.close();
    }
  } catch (error) {
    await rm(part, { force: true });
    throw asRecordsError(error, path);
  }
}
