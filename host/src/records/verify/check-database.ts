import Database from "better-sqlite3";
import { Kysely, SqliteDialect } from "kysely";
import { migrate } from "../store/migrations.js";
import type { OpenDatabase } from "../store/open-database.js";
import type { StoreTables } from "../store/store-tables.js";
import type { VerifyNotes } from "./verify-report.js";

/** What each table holds, in words. */
const tableWords: Readonly<Record<string, string>> = {
  record_document: "the records' own texts",
  record_entry: "the list of records",
  record_search: "what searches run through",
  record_photo: "which photo belongs to which record",
  photo: "the photos",
  chain: "the list of signers",
  store_schema: "the schema's version",
  sqlite_schema: "the description of the tables",
};

/** Which table or index a page of the file belongs to; undefined where SQLite cannot say any more. */
export function ownerOfPage({ sqlite }: OpenDatabase, page: number): string | undefined {
  try {
    const row = sqlite.prepare("SELECT name FROM dbstat WHERE pageno = ?").get(page) as { name: string } | undefined;
    if (!row) return "no table: it is free or part of the file's structure";
    const words = tableWords[row.name] ?? tableWords[row.name.replace(/^sqlite_autoindex_(.*)_\d+$/, "$1")];
    return words ? `${row.name} (${words})` : row.name;
  } catch {
    return undefined;
  }
}

interface SchemaRow {
  readonly type: string;
  readonly name: string;
  readonly sql: string | null;
}

function schemaRows(sqlite: Database.Database): readonly SchemaRow[] {
  return sqlite
    .prepare("SELECT type, name, sql FROM sqlite_schema WHERE name NOT LIKE 'sqlite_stat%' ORDER BY type, name")
    .all() as SchemaRow[];
}

async function expectedSchema(): Promise<readonly SchemaRow[]> {
  const sqlite = new Database(":memory:");
  try {
    await migrate(new Kysely<StoreTables>({ dialect: new SqliteDialect({ database: sqlite }) }), () => "");
    return schemaRows(sqlite);
  } finally {
    sqlite.close();
  }
}

/** Checks what SQLite itself can check, and that the tables are those that this program makes. */
export async function checkDatabase(open: OpenDatabase, notes: VerifyNotes): Promise<void> {
  const { sqlite } = open;
  try {
    const findings = sqlite.pragma("integrity_check(20)") as readonly { integrity_check: string }[];
    for (const { integrity_check: text } of findings) if (text !== "ok") notes.problem("database structure", text);
    const orphans = sqlite.pragma("foreign_key_check") as readonly { table: string; rowid: number; parent: string }[];
    for (const { table, rowid, parent } of orphans.slice(0, 20))
      notes.problem(`table ${table}, row ${rowid}`, `what it belongs to in ${parent} is not there`);
    const loose = sqlite
      .prepare("SELECT sha256 FROM photo p WHERE NOT EXISTS (SELECT 1 FROM record_photo r WHERE r.sha256 = p.sha256)")
      .all() as readonly { sha256: string }[];
    for (const { sha256 } of loose.slice(0, 20)) notes.problem(`photo ${sha256.slice(0, 12)}`, "no record names it");
    const present = new Map(schemaRows(sqlite).map((row) => [row.name, row]));
    for (const row of await expectedSchema()) {
      const found = present.get(row.name);
      if (found?.sql !== row.sql || found?.type !== row.type)
        notes.problem(`${row.type} ${row.name}`, "its description is not the one that this program writes");
      present.delete(row.name);
    }
    for (const row of present.values()) notes.problem(`${row.type} ${row.name}`, "this program makes no such thing");
  } catch (error) {
    notes.problem("database structure", `it cannot be read: ${error instanceof Error ? error.message : String(error)}`);
  }
}
