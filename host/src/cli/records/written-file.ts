import { open, rename, rm } from "node:fs/promises";
import { asRecordsError, RecordsError } from "../../records/records-error.js";

/**
 * Writes a whole file or nothing: beside its name first, flushed, then renamed. Refuses to write over anything unless told.
 * Throws `conflict`, `read-only`, `disk-full`.
 */
export async function writeWholeFile(path: string, data: string | Uint8Array, overwrite = false): Promise<void> {
  const part = `${path}.${process.pid}.part`;
  try {
    if (!overwrite) await (await open(path, "wx")).close();
    const file = await open(part, "wx");
    try {
      await file.writeFile(data);
      await file.sync();
    } finally {
      await file.close();
    }
    await rename(part, path);
  } catch (error) {
    await rm(part, { force: true });
    if ((error as NodeJS.ErrnoException).code === "EEXIST")
      throw new RecordsError(
        "conflict",
        `${path}: there is a file already. Give another name, or --force to write over it.`,
      );
    throw asRecordsError(error, path);
  }
}
