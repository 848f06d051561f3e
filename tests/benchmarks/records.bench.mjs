import { mkdtempSync, readFileSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { diagnose } from "@pinwalk/host/diagnosis/diagnose.js";
import { canonicalJson } from "@pinwalk/host/records/chain/canonical-json.js";
import { sha256Hex } from "@pinwalk/host/records/chain/record-hash.js";
import { signHash } from "@pinwalk/host/records/chain/record-signature.js";
import { entryRows } from "@pinwalk/host/records/store/entry-rows.js";
import { sealPages } from "@pinwalk/host/records/store/page-seal.js";
import { RecordStore } from "@pinwalk/host/records/store/record-store.js";
import { verifyStore } from "@pinwalk/host/records/verify/verify-store.js";
import Database from "better-sqlite3";

export const title = "Record store: 200,000 records, search and save beside plain SQLite inserts";

const version = "0.0.0-bench";
const names = ["Miller", "Okafor", "Schmidt", "García", "Nguyễn", "Larsen", "Петров", "Haddad", "Kowalska", "Tanaka"];

function readJob() {
  const path = new URL("../../fixtures/cases/install-002.json", import.meta.url);
  const { plan, readings } = JSON.parse(JSON.stringify(JSON.parse(readFileSync(path, "utf8"))));
  return { plan, readings, findings: diagnose(plan, readings), answers: [], person: "R. Calder" };
}

/** What differs from vehicle to vehicle; one in a hundred is unsure, one in ten failed, a day has some hundred. */
function variant(index) {
  return {
    takenAt: new Date(Date.UTC(2021, 0, 1) + index * 800_000).toISOString(),
    overall: index % 100 === 0 ? "unsure" : index % 10 === 0 ? "fail" : "pass",
    serial: `V${((index * 104_729) % 9_999_991).toString(36).toUpperCase()}-${index}`,
    customer: `${names[index % names.length]} ${(index * 7919) % 100_003}`,
  };
}

function jobOf(job, { takenAt, overall, serial, customer }) {
  const readings = { ...job.readings, takenAt };
  return { ...job, customer, subject: { kind: "vehicle", serial }, readings, findings: { ...job.findings, overall } };
}

/**
 * Lays records down that verify, many in a transaction: the canonical text of one record with its variable parts put in, then really
 * hashed, chained and signed. Only the fill, not what is measured.
 */
async function fill(path, count) {
  const store = await RecordStore.openForWriting(path, { version });
  const marks = { takenAt: "2001-01-01T00:00:00.000Z", overall: "unsure", serial: "@serial@", customer: "@customer@" };
  const model = await store.keep({ job: jobOf(readJob(), marks) });
  const { privateKey } = store.signingKey();
  await store.close();
  const { record } = model;
  const text = canonicalJson({ ...record, number: 987_654_321, previous: "@previous@" });
  const [before, after] = [/"number":987654321,/, "@previous@"].map((mark) => text.split(mark).length);
  if (before !== 2 || after !== 2) throw new Error("the model record cannot be varied");
  const sqlite = new Database(path);
  sqlite.pragma("synchronous = OFF");
  const statements = new Map();
  const put = (table, row) => {
    if (!statements.has(table)) {
      const columns = Object.keys(row);
      const values = columns.map((name) => `@${name}`);
      statements.set(table, sqlite.prepare(`INSERT INTO ${table} (${columns}) VALUES (${values})`));
    }
    return statements.get(table).run(row).lastInsertRowid;
  };
  let previous = model.hash;
  for (let from = 1; from < count; from += 2000) {
    sqlite.transaction(() => {
      for (let index = from; index < Math.min(count, from + 2000); index++) {
        const parts = variant(index);
        const document = text
          .replace('"number":987654321,', `"number":${index + 1},`)
          .replace("@previous@", previous)
          .replace(marks.takenAt, parts.takenAt)
          .replace('"overall":"unsure"', `"overall":"${parts.overall}"`)
          .replace("@serial@", parts.serial)
          .replace("@customer@", parts.customer);
        const hash = sha256Hex(document);
        const { entry, search } = entryRows({ record: { ...jobOf(record, parts), number: index + 1 }, hash });
        const seq = put("record_entry", entry);
        put("record_search", { ...search, seq });
        put("record_document", { seq, document, signature: signHash(privateKey, "pinwalk-record/1", hash) });
        previous = hash;
      }
    })();
  }
  sqlite.close();
  sealPages(path, "all", new Set());
}

const median = (values) => values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)];

async function timesOf(count, work) {
  const times = { wall: [], cpu: [] };
  for (let index = 0; index < count; index++) {
    const from = performance.now();
    const cpu = process.cpuUsage();
    await work(index);
    const { user, system } = process.cpuUsage(cpu);
    times.wall.push(performance.now() - from);
    times.cpu.push((user + system) / 1000);
  }
  return times;
}

/** Wall time is what a person waits; the processor's own time tells how much of it was waiting for neighbours or the disk. */
function line(name, { wall, cpu }, remark = "") {
  const cells = [median(wall), Math.max(...wall), median(cpu)].map((value) => value.toFixed(1).padStart(7));
  process.stdout.write(
    `${name.padEnd(46)} median ${cells[0]} ms  most ${cells[1]} ms  cpu ${cells[2]} ms  ${remark}\n`,
  );
}

async function searches(store, count) {
  const last = (await store.search({ limit: 1 })).records[0];
  const queries = {
    "a name that one in ten has": { customer: "miller" },
    "one customer among all": { customer: `okafor ${(7919 * 1) % 100_003}` },
    "a name that nobody has": { customer: "nobody at all" },
    "two words anywhere, in no record": { text: "petrov zzz" },
    "exact serial number": { serial: last.serial },
    "last digits of a serial number": { subject: last.serial.slice(-5) },
    plan: { plan: "hatchback" },
    "verdict unsure": { verdict: "unsure" },
    "verdict unsure with a name that nobody has": { verdict: "unsure", customer: "nobody at all" },
    "one day, years back": { since: "2021-03-01T00:00:00Z", until: "2021-03-02T00:00:00Z" },
    "last page of all": { before: 40 },
  };
  for (const [name, query] of Object.entries(queries)) {
    let found = 0;
    const times = await timesOf(9, async () => {
      found = (await store.search(query)).records.length;
    });
    line(`search: ${name}`, times, `${found} of ${count} shown`);
  }
}

/** Plain SQLite with the same durability: the document alone into one table. */
function plainInserts(folder, document) {
  const sqlite = new Database(join(folder, "plain.sqlite"));
  sqlite.pragma("journal_mode = WAL");
  sqlite.pragma("synchronous = FULL");
  sqlite.exec("CREATE TABLE document (seq INTEGER PRIMARY KEY, text TEXT)");
  const statement = sqlite.prepare("INSERT INTO document (text) VALUES (?)");
  return { insert: () => statement.run(document), close: () => sqlite.close() };
}

export async function run({ records = 200_000 } = {}) {
  const folder = mkdtempSync(join(tmpdir(), "pinwalk-bench-"));
  try {
    const path = join(folder, "store.sqlite");
    const from = performance.now();
    await fill(path, records);
    const size = (statSync(path).size / 1e6).toFixed(0);
    process.stdout.write(
      `filled ${records} records, ${size} MB, in ${((performance.now() - from) / 1000).toFixed(0)} s\n`,
    );
    const store = await RecordStore.openForWriting(path, { version });
    await searches(store, records);
    const job = readJob();
    const plain = plainInserts(folder, (await store.record("1")).text);
    const saves = { wall: [], cpu: [] };
    const inserts = { wall: [], cpu: [] };
    const add = (all, { wall, cpu }) => {
      all.wall.push(...wall);
      all.cpu.push(...cpu);
    };
    // In turn, so that both meet the same disk and the same neighbours.
    for (let index = 0; index < 100; index++) {
      add(inserts, await timesOf(1, plain.insert));
      add(saves, await timesOf(1, () => store.keep({ job: jobOf(job, variant(records + index)) })));
    }
    plain.close();
    line("save with sync, signed, chained and sealed", saves);
    line(
      "plain SQLite insert with sync",
      inserts,
      `save is ${(median(saves.wall) / median(inserts.wall)).toFixed(1)} times that`,
    );
    await store.close();
    await verifying(folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

async function verifying(folder) {
  const path = join(folder, "small.sqlite");
  await fill(path, 5000);
  const from = performance.now();
  const report = await verifyStore(path);
  const seconds = (performance.now() - from) / 1000;
  process.stdout.write(
    `verify: ${(report.records / seconds).toFixed(0)} records a second (${report.holds ? "all hold" : "damage found"})\n`,
  );
}

// Alone, with fewer records: node tests/benchmarks/records.bench.mjs RECORDS
if (process.argv[1] === fileURLToPath(import.meta.url)) await run({ records: Number(process.argv[2] ?? 200_000) });
