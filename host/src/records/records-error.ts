/** Why the record store could not do what was asked. Each ends with nothing half-written. */
export type RecordsErrorCode =
  | "no-store"
  | "not-a-store"
  | "newer-store"
  | "damaged"
  | "busy"
  | "disk-full"
  | "read-only"
  | "key-missing"
  | "key-refused"
  | "no-such-record"
  | "ambiguous"
  | "not-a-record"
  | "not-a-photo"
  | "not-readable"
  | "does-not-hold"
  | "conflict";

/** A refusal of the record store: `code` for programs, the message for people, in whole sentences where it is shown. */
export class RecordsError extends Error {
  readonly code: RecordsErrorCode;

  constructor(code: RecordsErrorCode, message: string, options?: ErrorOptions) {
    super(message, options);
    this.name = "RecordsError";
    this.code = code;
  }
}

export function isRecordsError(error: unknown): error is RecordsError {
  return error instanceof RecordsError;
}

const wordsOf: readonly (readonly [RegExp, RecordsErrorCode, string])[] = [
  [
    /^(SQLITE_FULL|ENOSPC|EDQUOT)/,
    "disk-full",
    "The disk is full: nothing of this was saved, and what was saved before is untouched. Free some space and save again.",
  ],
  [
    /^(SQLITE_READONLY|SQLITE_CANTOPEN|SQLITE_PERM|EACCES|EPERM|EROFS)/,
    "read-only",
    "The record store cannot be written there: the folder or the file is read-only. Nothing was saved, nothing was lost. " +
      "Choose another place with --store, or have the folder's rights changed.",
  ],
  [
    /^(ENOTDIR|EISDIR|ENOENT|EEXIST|ENAMETOOLONG)/,
    "read-only",
    "The record store cannot be there: the path does not lead to a file in a folder. Nothing was saved.",
  ],
  [/^(SQLITE_BUSY|SQLITE_LOCKED)/, "busy", "Another program holds the record store; nothing was changed. Try again."],
  [
    /^(SQLITE_CORRUPT|SQLITE_NOTADB|SQLITE_FORMAT)/,
    "damaged",
    "The record store's file is damaged, or is no record store. Do not write to it; `pinwalk records verify` says what " +
      "still holds, and a backup brings the rest back.",
  ],
  [/^SQLITE_IOERR/, "damaged", "The disk failed while the record store was read or written. Nothing new was saved."],
];

/** Turns what SQLite or the file system says into a {@link RecordsError}; anything else stays what it is. */
export function asRecordsError(error: unknown, path: string): unknown {
  if (isRecordsError(error)) return error;
  const code = (error as { code?: unknown } | null)?.code;
  if (typeof code !== "string") return error;
  const row = wordsOf.find(([pattern]) => pattern.test(code));
  return row ? new RecordsError(row[1], `${path}: ${row[2]} (${code})`, { cause: error }) : error;
}
