import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { RecordStore } from "@pinwalk/host/records/store/record-store.js";
import { verifyStore } from "@pinwalk/host/records/verify/verify-store.js";
import type { ImportedView, OfferedFiles, RecordListing } from "@pinwalk/host/server/records/records-contract.js";
import { expect, test } from "vitest";
import { makePng } from "../records/pictures.js";
import { cableJob, scratchFolder, vehicleJob, version } from "../records/sample-job.js";
import { machineWithPorts } from "./bench-on-a-port.js";
import { type Answer, look, post } from "./records-over-http.js";
import { serveForTest } from "./serve-for-test.js";

const benches = machineWithPorts();

/** A shop with two records, one of them with a photo. */
async function shopWithRecords(): Promise<string> {
  const recordsPath = join(scratchFolder(), "store.sqlite");
  const store = await RecordStore.openForWriting(recordsPath, { version });
  await store.keep({ job: vehicleJob, photos: [{ data: makePng(30, 20) }] });
  await store.keep({ job: cableJob });
  await store.close();
  return (await serveForTest({ benches, recordsPath })).url;
}

async function take<T>(url: string, bytes: Uint8Array, type = "application/octet-stream"): Promise<Answer<T>> {
  const response = await fetch(`${url}/records/import`, {
    method: "POST",
    headers: { "content-type": type },
    body: Buffer.from(bytes),
  });
  return { status: response.status, body: (await response.json()) as T };
}

async function fetched(url: string, file: OfferedFiles["files"][number] | undefined): Promise<Buffer> {
  const response = await fetch(`${url}${file?.href}`);
  expect(response.headers.get("content-disposition")).toContain(file?.name);
  const bytes = Buffer.from(await response.arrayBuffer());
  expect(bytes.length).toBe(file?.bytes);
  return bytes;
}

test("an export goes into another shop whole, as that of its signer, and once; a damaged one not at all", async () => {
  const url = await shopWithRecords();
  const made = await post<OfferedFiles>(`${url}/records/export`, {});
  expect(made.body.words).toMatch(/^2 records and 1 photo/);
  expect(made.body.files[0]?.name).toMatch(/^pinwalk-\d{4}-\d\d-\d\d\.pinwalk-records$/);
  const bundle = await fetched(url, made.body.files[0]);

  const { url: other } = await serveForTest({ benches });
  const damaged = Buffer.from(bundle);
  const at = damaged.indexOf("Ann Miller");
  damaged.write("Ann Muller", at);
  const refused = await take<{ code: string; message: string }>(other, damaged);
  expect([refused.status, refused.body.code]).toEqual([422, "does-not-hold"]);
  expect(refused.body.message).toContain("Nothing was imported");
  expect((await take(other, Buffer.from("GIF89a"))).status).toBe(422);
  expect((await take(other, Buffer.alloc(0))).status).toBe(422);
  expect((await take(other, bundle, "text/plain")).status).toBe(400);
  expect((await look<RecordListing>(`${other}/records/list`)).body.records).toEqual([]);

  const taken = await take<ImportedView>(other, bundle);
  expect(taken.body).toMatchObject({ added: 2, alreadyThere: 0, signers: [{ own: false, added: 2 }] });
  expect((await take<ImportedView>(other, bundle)).body).toMatchObject({ added: 0, alreadyThere: 2 });
  const listed = await look<RecordListing>(`${other}/records/list`);
  expect(listed.body.records).toHaveLength(2);
}, 30_000);

test("an export and a list hold what was tested within the days alone", async () => {
  const url = await shopWithRecords();
  const all = (await look<RecordListing>(`${url}/records/list`)).body.records;
  const days = [...new Set(all.map(({ testedAt }) => testedAt))].sort();
  const [first = ""] = days;
  const after = new Date(Date.parse(first) + 1).toISOString();
  const within = async (query: Record<string, string>) =>
    (await look<RecordListing>(`${url}/records/list?${new URLSearchParams(query)}`)).body.records.length;
  expect(await within({ since: first })).toBe(2);
  expect(await within({ until: first })).toBe(0);
  expect(await within({ until: after })).toBe(all.filter(({ testedAt }) => testedAt === first).length);
  expect((await look(`${url}/records/list?since=yesterday`)).status).toBe(400);
  expect((await post(`${url}/records/export`, { until: first })).status).toBe(404);
  expect((await post(`${url}/records/export`, { everything: true })).status).toBe(400);
});

test("a backup is a store that verifies, and a file that was not made for a browser is not handed out", async () => {
  const url = await shopWithRecords();
  const made = await post<OfferedFiles>(`${url}/records/backup`, {});
  expect(made.body.words).toContain("The key that signs new records is not part of it");
  const folder = scratchFolder();
  const [store, seal] = made.body.files;
  for (const file of [store, seal]) writeFileSync(join(folder, file?.name ?? ""), await fetched(url, file));
  const report = await verifyStore(join(folder, store?.name ?? ""));
  expect(report).toMatchObject({ holds: true, records: 2, problems: [] });
  expect(report.remarks.filter((remark) => remark.includes("seal"))).toEqual([]);
  expect((await look(`${url}/records/files/${"0".repeat(32)}`)).status).toBe(404);
  expect((await look(`${url}/records/files/..%2f..%2fstore.sqlite`)).status).toBe(404);
});

test("where nothing was kept yet there is nothing to hand on", async () => {
  const { url } = await serveForTest({ benches });
  expect((await post(`${url}/records/export`, {})).status).toBe(404);
  expect((await post(`${url}/records/backup`, {})).status).toBe(404);
});
