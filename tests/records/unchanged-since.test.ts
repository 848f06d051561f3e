import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { exportBundle } from "@pinwalk/host/records/bundle/export-bundle.js";
import { pageSealPathOf } from "@pinwalk/host/records/store/page-seal.js";
import { RecordStore } from "@pinwalk/host/records/store/record-store.js";
import { verifyBundle } from "@pinwalk/host/records/verify/verify-bundle.js";
import { verifyStore } from "@pinwalk/host/records/verify/verify-store.js";
import Database from "better-sqlite3";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { makePng } from "./pictures.js";
import { emptyStore, scratchFolder, seeded, vehicleJob, version } from "./sample-job.js";

/** A closed store of eight records, one with a photo, and an export of it. */
async function storeInFolder(folder: string): Promise<readonly string[]> {
  const store = await RecordStore.openForWriting(join(folder, "a.sqlite"), { version });
  const hashes: string[] = [];
  for (let index = 0; index < 8; index++) {
    const job = {
      ...vehicleJob,
      customer: `Customer ${index}`,
      subject: { ...vehicleJob.subject, serial: `SERIAL-${index}` },
    };
    hashes.push((await store.keep({ job, photos: index === 3 ? [{ data: makePng(40, 30) }] : [] })).hash);
  }
  await exportBundle(store, hashes, join(folder, "all.pinwalk-records"), version);
  await store.close();
  return hashes;
}

let made: string;
let hashes: readonly string[];
beforeAll(async () => {
  made = mkdtempSync(join(tmpdir(), "pinwalk-records-"));
  hashes = await storeInFolder(made);
});
afterAll(() => rmSync(made, { recursive: true, force: true }));

/** A copy of that store with everything beside it, for a test to do to it what it likes. */
function closedStore(): { readonly path: string; readonly exported: string; readonly hashes: readonly string[] } {
  const folder = scratchFolder();
  cpSync(made, folder, { recursive: true });
  return { path: join(folder, "a.sqlite"), exported: join(folder, "all.pinwalk-records"), hashes };
}

function tamper(path: string, ...statements: readonly string[]): void {
  const sqlite = new Database(path);
  sqlite.pragma("foreign_keys = OFF");
  for (const statement of statements) sqlite.exec(statement);
  sqlite.close();
}

describe("Verifying a store", () => {
  it("holds as long as nothing was touched, and verifying touches nothing", async () => {
    const { path } = closedStore();
    const before = readFileSync(path);
    expect(await verifyStore(path)).toMatchObject({ holds: true, records: 8, firstBad: null, problems: [] });
    expect(readFileSync(path).equals(before)).toBe(true);
  });

  it("finds one changed byte anywhere in the file, and names the page or the record", async () => {
    const { path } = closedStore();
    const whole = readFileSync(path);
    const random = seeded(7);
    for (let round = 0; round < 60; round++) {
      const at = Math.floor(random() * whole.length);
      const changed = Buffer.from(whole);
      changed[at] = (changed[at] ?? 0) ^ (1 << (round % 8));
      writeFileSync(path, changed);
      const report = await verifyStore(path);
      expect(report.holds, `byte ${at}`).toBe(false);
      expect(
        report.problems.some(({ where }) => where.startsWith(`page ${1 + Math.floor(at / 4096)} `)),
        `byte ${at}`,
      ).toBe(true);
    }
  }, 120_000);

  it("finds one changed byte in the page seal itself", async () => {
    const { path } = closedStore();
    const sealPath = pageSealPathOf(path);
    const whole = readFileSync(sealPath);
    for (let at = 0; at < whole.length; at += 41) {
      const changed = Buffer.from(whole);
      changed[at] = (changed[at] ?? 0) ^ 1;
      writeFileSync(sealPath, changed);
      expect((await verifyStore(path)).holds, `byte ${at}`).toBe(false);
    }
  });

  it("names the record whose text was changed, without the help of the page seal", async () => {
    const { path } = closedStore();
    tamper(
      path,
      "UPDATE record_document SET document = replace(document, '\"amps\":1.9659', '\"amps\":1.9661') WHERE seq = 5",
    );
    rmSync(pageSealPathOf(path));
    const report = await verifyStore(path);
    expect(report.holds).toBe(false);
    expect(report.bad.map(({ number, problem }) => [number, problem])).toEqual([[5, expect.any(String)]]);
    expect(report.firstBad).toMatchObject({
      number: 5,
      serial: "SERIAL-4",
      problem: expect.stringContaining("changed"),
    });
  });

  it.each([
    ["a record's hash", "UPDATE record_entry SET hash = replace(hash, substr(hash, 1, 1), 'x') WHERE seq = 2", 2],
    [
      "a record that was taken out",
      "DELETE FROM record_entry WHERE seq = 4; DELETE FROM record_search WHERE seq = 4; DELETE FROM record_document WHERE seq = 4; DELETE FROM record_photo; DELETE FROM photo",
      5,
    ],
    ["a text that is gone", "DELETE FROM record_document WHERE seq = 3", 3],
    ["what the list shows", "UPDATE record_entry SET customer = 'Somebody' WHERE seq = 6", 6],
    ["what a search sees", "UPDATE record_search SET text = replace(text, 'customer', 'c') WHERE seq = 7", 7],
    ["a signature", "UPDATE record_document SET signature = replace(signature, '0', '1') WHERE seq = 1", 1],
    ["a photo", "UPDATE photo SET data = x'00'", 4],
    ["a photo that was taken away", "DELETE FROM record_photo", 4],
  ])("names the first record that does not hold: %s", async (_name, statement, number) => {
    const { path } = closedStore();
    tamper(path, statement);
    rmSync(pageSealPathOf(path));
    const report = await verifyStore(path);
    expect(report.holds).toBe(false);
    expect(report.firstBad?.number).toBe(number);
  });

  it("finds what somebody with the tools of the trade slips in: a trigger, a table, a column's description", async () => {
    for (const statement of [
      "CREATE TRIGGER quiet AFTER INSERT ON record_entry BEGIN SELECT 1; END",
      "CREATE TABLE more (a)",
      "DROP INDEX record_entry_serial",
    ]) {
      const { path } = closedStore();
      tamper(path, statement);
      rmSync(pageSealPathOf(path));
      expect((await verifyStore(path)).problems.length, statement).toBeGreaterThan(0);
    }
  });

  it("finds a record rewritten whole with a new hash, for it lacks the signature", async () => {
    const { path } = closedStore();
    const sqlite = new Database(path);
    const { createHash } = await import("node:crypto");
    const row = sqlite.prepare("SELECT document FROM record_document WHERE seq = 8").get() as { document: string };
    const document = row.document.replace('"overall":"fail"', '"overall":"pass"');
    const hash = createHash("sha256").update(document).digest("hex");
    sqlite.prepare("UPDATE record_document SET document = ? WHERE seq = 8").run(document);
    sqlite.prepare("UPDATE record_entry SET hash = ?, verdict = 'pass' WHERE seq = 8").run(hash);
    sqlite.close();
    const report = await verifyStore(path);
    expect(report.firstBad).toMatchObject({ number: 8, problem: expect.stringContaining("signature") });
  });

  it("shows that the newest records were cut off, to whoever has a certificate of one", async () => {
    const { path, hashes } = closedStore();
    const last = hashes.at(-1) ?? "";
    expect((await verifyStore(path, { has: last })).holds).toBe(true);
    tamper(
      path,
      "DELETE FROM record_document WHERE seq = 8; DELETE FROM record_search WHERE seq = 8; DELETE FROM record_entry WHERE seq = 8",
    );
    rmSync(pageSealPathOf(path));
    expect((await verifyStore(path)).holds).toBe(true);
    const report = await verifyStore(path, { has: last.slice(0, 16) });
    expect(report.problems).toContainEqual(expect.objectContaining({ where: "certificate" }));
  });

  it("reports on a file that is cut short or no database at all, instead of failing", async () => {
    const { path } = closedStore();
    const whole = readFileSync(path);
    for (const bytes of [0, 50, 5000, Math.floor(whole.length / 2)]) {
      writeFileSync(path, whole.subarray(0, bytes));
      expect((await verifyStore(path)).holds, `${bytes} bytes`).toBe(false);
    }
  });

  it("keeps the mark of a page that was changed before it was written over", async () => {
    const folder = scratchFolder();
    const store = await emptyStore("a.sqlite", folder);
    await store.keep({ job: vehicleJob });
    // A byte in the unused middle of the page that the next record goes to.
    const whole = readFileSync(store.path);
    const page = whole.length / 4096;
    const sqlite = new Database(store.path, { readonly: true });
    const leaf = sqlite.prepare("SELECT pageno FROM dbstat WHERE name = 'record_search'").get() as { pageno: number };
    sqlite.close();
    expect(leaf.pageno).toBeLessThanOrEqual(page);
    const at = (leaf.pageno - 1) * 4096 + 1500;
    whole[at] = (whole[at] ?? 0) ^ 1;
    writeFileSync(store.path, whole);
    await store.keep({ job: vehicleJob });
    const report = await verifyStore(store.path);
    expect(report.problems).toContainEqual(
      expect.objectContaining({ problem: expect.stringContaining("before it was last written") }),
    );
    expect(report.badCount).toBe(0);
  });
});

describe("Verifying an export", () => {
  it("finds one changed byte anywhere, and names the line or the record", async () => {
    const { exported } = closedStore();
    expect(await verifyBundle(exported)).toMatchObject({ holds: true, records: 8 });
    const whole = readFileSync(exported);
    const random = seeded(11);
    const ends = [...whole].flatMap((byte, index) => (byte === 10 ? [index] : []));
    const places = [0, ...ends, ...Array.from({ length: 150 }, () => Math.floor(random() * whole.length))];
    for (const [round, at] of places.entries()) {
      const changed = Buffer.from(whole);
      changed[at] = (changed[at] ?? 0) ^ (1 << (round % 8));
      writeFileSync(exported, changed);
      const report = await verifyBundle(exported);
      expect(report.holds, `byte ${at}`).toBe(false);
      const line = 1 + ends.filter((end) => end < at).length;
      const named = [...report.problems.map(({ where }) => where), ...report.bad.map(({ problem }) => problem)];
      expect(
        named.some((text) => text.includes(`line ${line}`)),
        `byte ${at} of line ${line}: ${named.join("; ")}`,
      ).toBe(true);
    }
  }, 120_000);

  it("names the record that was changed, by number and serial", async () => {
    const { exported } = closedStore();
    writeFileSync(exported, readFileSync(exported, "utf8").replace("Customer 5", "Customer X"));
    expect((await verifyBundle(exported)).firstBad).toMatchObject({ number: 6, serial: "SERIAL-5" });
  });

  it("finds a record taken out, doubled, or moved", async () => {
    const { exported } = closedStore();
    const lines = readFileSync(exported, "utf8").split("\n");
    const variants = [
      lines.toSpliced(3, 1),
      lines.toSpliced(3, 0, lines[3] ?? ""),
      [lines[0], lines[2], lines[1], ...lines.slice(3)],
    ];
    for (const variant of variants) {
      writeFileSync(exported, variant.join("\n"));
      expect((await verifyBundle(exported)).holds).toBe(false);
    }
  });
});
