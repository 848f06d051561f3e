import { randomBytes } from "node:crypto";
import { access, constants, open, readFile, rename, rm, stat } from "node:fs/promises";
import { basename, dirname, join } from "node:path";
import { wrongUse } from "./command-failure.js";

/** A plan or readings file is some kilobytes; more than this is something else. */
const mostBytes = 4 * 1024 * 1024;

function reasonOf(error: unknown): string {
  const code = (error as NodeJS.ErrnoException).code;
  if (code === "ENOENT") return "there is no such file";
  if (code === "EISDIR") return "that is a folder, not a file";
  if (code === "EACCES" || code === "EPERM") return "no permission";
  return error instanceof Error ? error.message : String(error);
}

/** Reads a JSON document. Throws a wrong-use failure that names the file and, where the parser knows, the place. */
export async function readJsonFile(path: string, what: string): Promise<unknown> {
  let text: string;
  try {
    const { size } = await stat(path);
    if (size > mostBytes) throw new Error(`it has ${size} bytes; a ${what} has at most ${mostBytes}`);
    text = await readFile(path, "utf8");
  } catch (error) {
    throw wrongUse(`${path}: cannot read the ${what}: ${reasonOf(error)}.`);
  }
  try {
    return JSON.parse(text.replace(/^\uFEFF/, ""));
  } catch (error) {
    throw wrongUse(
      `${path}: this is not JSON: ${reasonOf(error)}. A ${what} is a JSON document; see the formats page.`,
    );
  }
}

/** Says before any work whether a file can be written there, so that a walk is not lost at its end. */
export async function requireWritable(path: string, what: string): Promise<void> {
  const folder = dirname(path);
  try {
    if (!(await stat(folder)).isDirectory()) throw new Error("it is not a folder");
    await access(folder, constants.W_OK);
  } catch (error) {
    throw wrongUse(`${path}: cannot write the ${what}: folder ${folder}: ${reasonOf(error)}.`);
  }
  const existing = await stat(path).catch(() => undefined);
  if (existing?.isDirectory()) throw wrongUse(`${path}: cannot write the ${what}: that is a folder; give a file name.`);
}

/**
 * Writes a whole document or nothing: into a temporary file beside it, flushed to the disk, then renamed over the name
 * (atomic within one folder, POSIX rename). A crash in between leaves the old file as it was.
 */
export async function writeJsonFile(path: string, document: unknown): Promise<void> {
  const temporary = join(dirname(path), `.${basename(path)}.${process.pid}-${randomBytes(4).toString("hex")}.part`);
  try {
    const file = await open(temporary, "wx");
    try {
      await file.writeFile(`${JSON.stringify(document, null, 2)}\n`, "utf8");
      await file.sync();
    } finally {
      await file.close();
    }
    await rename(temporary, path);
  } catch (error) {
    await rm(temporary, { force: true });
    throw error;
  }
}
