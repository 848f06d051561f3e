import { existsSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { keyPathOf } from "@pinwalk/host/records/chain/signing-key.js";
import { certificatePdf } from "@pinwalk/host/records/report/certificate-pdf.js";
import { printablePage } from "@pinwalk/host/records/report/printable-page.js";
import { RecordStore } from "@pinwalk/host/records/store/record-store.js";
import { verifyStore } from "@pinwalk/host/records/verify/verify-store.js";
import Database from "better-sqlite3";
import { sql } from "kysely";
import { describe, expect, it } from "vitest";
import { makePng, smallJpeg } from "./pictures.js";
import { emptyStore, scratchFolder, vehicleJob, version } from "./sample-job.js";

const code = (name: string) => expect.objectContaining({ code: name });

describe("Keeping a record", () => {
  it("gives back the job with everything that proves it", async () => {
    const store = await emptyStore();
    const kept = await store.keep({ job: vehicleJob, photos: [{ data: smallJpeg, caption: "Left rear splice" }] });
    const read = await store.record(kept.hash);
    expect(read.record).toMatchObject({
      ...vehicleJob,
      number: 1,
      previous: "0".repeat(64),
      program: { name: "pinwalk", version },
    });
    expect(read.record.savedAt).toMatch(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}[+-]\d\d:\d\d$/);
    expect(read.record.zone).not.toBe("");
    expect(read.record.photos[0]).toMatchObject({
      type: "image/jpeg",
      width: 24,
      height: 16,
      caption: "Left rear splice",
    });
    const photo = await store.photo(read.record.photos[0]?.sha256 ?? "");
    expect(Buffer.from(photo?.data ?? []).equals(smallJpeg)).toBe(true);
  });

  it("chains each record to the one before, across closing and opening", async () => {
    const folder = scratchFolder();
    const first = await (await emptyStore("a.sqlite", folder)).keep({ job: vehicleJob });
    const second = await (await emptyStore("a.sqlite", folder)).keep({ job: vehicleJob });
    expect(second.record.previous).toBe(first.hash);
    expect(second.record.number).toBe(2);
    expect(second.record.signer).toBe(first.record.signer);
  });

  it("numbers records without gap or double when two programs keep at once", async () => {
    const folder = scratchFolder();
    const stores = [await emptyStore("a.sqlite", folder), await emptyStore("a.sqlite", folder)];
    const kept = await Promise.all(
      Array.from({ length: 12 }, (_, index) => stores[index % 2]?.keep({ job: vehicleJob })),
    );
    expect(kept.map((one) => one?.record.number).toSorted((a = 0, b = 0) => a - b)).toEqual(
      Array.from({ length: 12 }, (_, index) => index + 1),
    );
    expect((await verifyStore(join(folder, "a.sqlite"))).holds).toBe(true);
  });

  it("keeps a correction as a record of its own that points at the old one", async () => {
    const store = await emptyStore();
    const old = await store.keep({ job: vehicleJob });
    const right = await store.keep({
      job: { ...vehicleJob, customer: "Anna Miller", corrects: { hash: old.hash, why: "the name was wrong" } },
    });
    expect((await store.record(old.hash)).record.customer).toBe("Ann Miller");
    expect((await store.record(old.hash)).summary.correctedBy).toBe(right.hash);
    const nothing = store.keep({ job: { ...vehicleJob, corrects: { hash: "0".repeat(64), why: "?" } } });
    await expect(nothing).rejects.toEqual(code("no-such-record"));
  });

  it("keeps nothing of a job whose second photo is none", async () => {
    const store = await emptyStore();
    const job = store.keep({
      job: vehicleJob,
      photos: [{ data: makePng(20, 20) }, { data: Buffer.from("no picture") }],
    });
    await expect(job).rejects.toThrow(/Photo 2/);
    expect((await store.search({})).records).toEqual([]);
    expect((await store.read((db) => db.selectFrom("photo").selectAll().execute())).length).toBe(0);
  });

  it("bears names that are made to do harm, in a plan of somebody else's", async () => {
    const store = await emptyStore();
    const name = "evil\u202e<script>'); DROP TABLE photo; -- $(id)";
    const notes = `${"😀".repeat(1999)}x😀`;
    await store.keep({ job: { ...vehicleJob, plan: { ...vehicleJob.plan, name }, notes } });
    const saved = await store.record("1");
    expect(saved.record.plan.name).toBe(name);
    expect((await store.search({ plan: "drop" })).records).toHaveLength(1);
    expect((await verifyStore(store.path)).holds).toBe(true);
    const page = await printablePage(saved);
    expect(page).not.toMatch(/<script|[\u202e]/);
    expect(page.replaceAll("\n", "")).not.toMatch(/\p{Control}/u);
    expect((await certificatePdf(saved)).length).toBeGreaterThan(1000);
    for (const refused of ["half \ud800", "null \u0000", "clear the screen \u001b[2J"]) {
      const kept = store.keep({ job: { ...vehicleJob, plan: { ...vehicleJob.plan, name: refused } } });
      await expect(kept).rejects.toEqual(code("not-a-record"));
    }
  });

  it("makes the key at first use, for its owner alone", async () => {
    const store = await emptyStore();
    expect(existsSync(keyPathOf(store.path))).toBe(false);
    await store.keep({ job: vehicleJob });
    if (process.platform !== "win32") {
      expect(statSync(keyPathOf(store.path)).mode & 0o777).toBe(0o600);
      expect(statSync(store.path).mode & 0o777).toBe(0o600);
    }
  });

  it("does not make a new key in silence when the old one is gone", async () => {
    const store = await emptyStore();
    await store.keep({ job: vehicleJob });
    const { oldKeptAt } = await store.startNewKey();
    expect(oldKeptAt).toBeDefined();
    const next = await store.keep({ job: vehicleJob });
    expect(next.record.number).toBe(1);
    expect((await store.chains()).filter(({ own }) => own)).toHaveLength(2);
    const { rmSync } = await import("node:fs");
    rmSync(keyPathOf(store.path));
    await expect(store.keep({ job: vehicleJob })).rejects.toEqual(code("key-missing"));
    expect((await store.search({})).records).toHaveLength(2);
  });

  it("says that a full disk is full, keeps what was kept, and goes on when there is room", async () => {
    const store = await emptyStore();
    await store.keep({ job: vehicleJob });
    const { rows } = await sql<{ page_count: number }>`PRAGMA page_count`.execute(store.db);
    await sql.raw(`PRAGMA max_page_count = ${rows[0]?.page_count ?? 0}`).execute(store.db);
    const big = store.keep({ job: vehicleJob, photos: [{ data: makePng(2000, 2000) }] });
    await expect(big).rejects.toEqual(code("disk-full"));
    await expect(big).rejects.toThrow(/disk is full/);
    await sql.raw("PRAGMA max_page_count = 1000000").execute(store.db);
    await store.keep({ job: vehicleJob, photos: [{ data: makePng(2000, 2000) }] });
    const report = await verifyStore(store.path);
    expect(report).toMatchObject({ holds: true, records: 2 });
  });

  it("says that a store is read-only, and loses nothing", async () => {
    const store = await emptyStore();
    await store.keep({ job: vehicleJob });
    await sql.raw("PRAGMA query_only = ON").execute(store.db);
    await expect(store.keep({ job: vehicleJob })).rejects.toEqual(code("read-only"));
    await sql.raw("PRAGMA query_only = OFF").execute(store.db);
    expect((await store.search({})).records).toHaveLength(1);
    const reading = await RecordStore.openForReading(store.path, { version });
    await expect(reading.keep({ job: vehicleJob })).rejects.toEqual(code("read-only"));
    await reading.close();
  });

  it.skipIf(process.getuid?.() === 0)("says so for a folder that may not be written", async () => {
    const folder = scratchFolder();
    const { chmodSync } = await import("node:fs");
    chmodSync(folder, 0o500);
    await expect(RecordStore.openForWriting(join(folder, "a.sqlite"), { version })).rejects.toEqual(code("read-only"));
    chmodSync(folder, 0o700);
  });

  it("refuses places and files that are no store, and changes none of them", async () => {
    const folder = scratchFolder();
    const open = (path: string) => RecordStore.openForWriting(path, { version });
    writeFileSync(join(folder, "text"), "This is a letter of more than sixteen letters.");
    await expect(open(join(folder, "text"))).rejects.toEqual(code("damaged"));
    await expect(open(join(folder, "text", "a.sqlite"))).rejects.toEqual(code("read-only"));
    const other = new Database(join(folder, "other.sqlite"));
    other.exec("CREATE TABLE cakes (name TEXT)");
    other.close();
    await expect(open(join(folder, "other.sqlite"))).rejects.toEqual(code("not-a-store"));
    await expect(RecordStore.openForReading(join(folder, "none"), { version })).rejects.toEqual(code("no-store"));
  });

  it("refuses a store of a later program", async () => {
    const folder = scratchFolder();
    const store = await emptyStore("a.sqlite", folder);
    await store.keep({ job: vehicleJob });
    await sql.raw("INSERT INTO store_schema VALUES (99, '')").execute(store.db);
    await store.close();
    await expect(RecordStore.openForWriting(store.path, { version })).rejects.toEqual(code("newer-store"));
    await expect(RecordStore.openForReading(store.path, { version })).rejects.toEqual(code("newer-store"));
  });

  it("backs up while records are being kept, and the copy holds", async () => {
    const folder = scratchFolder();
    const store = await emptyStore("a.sqlite", folder);
    for (let index = 0; index < 5; index++) await store.keep({ job: vehicleJob });
    const copy = join(folder, "copy.sqlite");
    const [backup] = await Promise.all([
      store.backUp(copy),
      store.keep({ job: vehicleJob }),
      store.keep({ job: vehicleJob }),
    ]);
    expect(backup.records).toBeGreaterThanOrEqual(5);
    const report = await verifyStore(copy);
    expect(report.holds).toBe(true);
    expect(report.records).toBeGreaterThanOrEqual(5);
    await expect(store.backUp(copy)).rejects.toEqual(code("conflict"));
  });
});
