import { readFileSync } from "node:fs";
import { Command, Option } from "commander";
import { isRecordsError, type RecordsErrorCode } from "../../records/records-error.js";
import { defaultStorePath } from "../../records/store/open-database.js";
import { RecordStore } from "../../records/store/record-store.js";
import { CommandFailure } from "../command-failure.js";
import { exitCodes } from "../exit-code.js";

/** Version of the program, as it goes into every record. From dist/cli/records up to the package. */
export function programVersion(): string {
  const text = readFileSync(new URL("../../../package.json", import.meta.url), "utf8");
  return (JSON.parse(text) as { version: string }).version;
}

/** Codes that say that something could not be done, rather than that something impossible was asked. */
const couldNot: readonly RecordsErrorCode[] = [
  "damaged",
  "busy",
  "disk-full",
  "read-only",
  "key-missing",
  "newer-store",
];

/** Runs a command's work with the record store's refusals turned into words and exit codes. */
export async function recordsWork<T>(work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    if (!isRecordsError(error)) throw error;
    const code =
      error.code === "does-not-hold"
        ? exitCodes.fail
        : couldNot.includes(error.code)
          ? exitCodes.couldNotTest
          : exitCodes.wrongUse;
    throw new CommandFailure(code, error.message, { cause: error });
  }
}

export interface StoreOption {
  readonly store: string;
}

/** A subcommand of `pinwalk records`, with the option that names the store. */
export function storeCommand(name: string): Command {
  return new Command(name).addOption(
    new Option("--store <file>", "record store")
      .env("PINWALK_STORE")
      .default(defaultStorePath({}), "~/.pinwalk/records.sqlite"),
  );
}

/** Opens the store for the time of `work`. */
export async function withStore<T>(
  mode: "read" | "write",
  { store: path }: StoreOption,
  work: (store: RecordStore) => Promise<T>,
): Promise<T> {
  return recordsWork(async () => {
    const options = { version: programVersion() };
    const store =
      mode === "read"
        ? await RecordStore.openForReading(path, options)
        : await RecordStore.openForWriting(path, options);
    try {
      return await work(store);
    } finally {
      await store.close();
    }
  });
}
