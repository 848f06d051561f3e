import type { RecordEnvelope } from "../chain/check-record.js";
import { sha256Hex } from "../chain/record-hash.js";
import type { OpenDatabase } from "../store/open-database.js";

/**
 * Checks that a record's photos are there, are what their names say, and that it is tied to these and no others. `seen` holds what was
 * checked already, for several records may share a photo.
 */
export async function checkStoredPhotos(
  { db }: OpenDatabase,
  row: { readonly seq: number },
  envelope: RecordEnvelope,
  seen: Set<string>,
): Promise<string | undefined> {
  const named = new Set((envelope.photos ?? []).map((photo) => photo.sha256));
  const tied = await db.selectFrom("record_photo").select("sha256").where("seq", "=", row.seq).execute();
  if (tied.length !== named.size || tied.some(({ sha256 }) => !named.has(sha256)))
    return "the store ties other photos to it than it names";
  for (const photo of envelope.photos ?? []) {
    if (seen.has(photo.sha256)) continue;
    const stored = await db
      .selectFrom("photo")
      .select(["type", "data"])
      .where("sha256", "=", photo.sha256)
      .executeTakeFirst();
    if (!stored) return `its photo ${photo.sha256.slice(0, 12)} is not there`;
    if (sha256Hex(stored.data) !== photo.sha256) return `its photo ${photo.sha256.slice(0, 12)} was changed`;
    if (photo.type !== stored.type) return `its photo ${photo.sha256.slice(0, 12)} is kept as ${stored.type}`;
    seen.add(photo.sha256);
  }
  return undefined;
}
