import { writeFileSync } from "node:fs";
import { request } from "node:http";
import { join } from "node:path";
import type { VerifyLine } from "@pinwalk/host/server/records/records-contract.js";
import Database from "better-sqlite3";
import { expect, test } from "vitest";
import { scratchFolder } from "../records/sample-job.js";
import { machineWithPorts } from "./bench-on-a-port.js";
import { keep, look, post, walked, words } from "./records-over-http.js";
import { serveForTest } from "./serve-for-test.js";

const benches = machineWithPorts();

async function verify(url: string): Promise<readonly VerifyLine[]> {
  const answer = await fetch(`${url}/records/verify`, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: "{}",
  });
  const text = await answer.text();
  return text
    .trim()
    .split("\n")
    .map((line) => JSON.parse(line) as VerifyLine);
}

function statusFor(url: string, method: string, headers: Record<string, string>, body = ""): Promise<number> {
  return new Promise((resolve, reject) => {
    request(url, { method, headers }, (answer) => {
      answer.resume();
      resolve(answer.statusCode ?? 0);
    })
      .on("error", reject)
      .end(body);
  });
}

const outOfBounds: readonly (readonly [string, object])[] = [
  ["no person", { person: " " }],
  ["no serial number", { serial: "" }],
  ["a serial number that turns its text around", { serial: "A\u202eB" }],
  ["a name of 121 letters", { customer: "x".repeat(121) }],
  ["nine photos", { photos: Array(9).fill({ base64: "AAAA" }) }],
  ["a member that nobody knows", { store: "/etc/passwd" }],
  ["a photo that is no picture", { photos: [{ base64: "AAAA" }] }],
];

test("what cannot stand in a record is refused, in words, and nothing is kept", async () => {
  const { url } = await serveForTest({ benches });
  const client = await walked(url);
  for (const [what, more] of outOfBounds) {
    const { status, body } = await post<{ message: string }>(`${url}/records/keep`, {
      ...words,
      walkNumber: 1,
      ...more,
    });
    expect([what, status]).toEqual([what, 400]);
    expect(body.message).toMatch(/^\S.{10,}\.$/s);
  }
  expect((await look<{ records: unknown[] }>(`${url}/records/list`)).body.records).toEqual([]);
  client.close();
});

test("a foreign page can neither read nor keep, and a form is no request to keep", async () => {
  const { url } = await serveForTest({ benches });
  const { host } = new URL(url);
  const foreign = { host, origin: "http://shop.example", "content-type": "application/json" };
  expect(await statusFor(`${url}/records/list`, "GET", foreign)).toBe(403);
  expect(await statusFor(`${url}/records/list`, "GET", { host: "shop.example" })).toBe(403);
  expect(await statusFor(`${url}/records/verify`, "POST", foreign, "{}")).toBe(403);
  expect(await statusFor(`${url}/records/keep`, "POST", { host, "content-type": "text/plain" }, "{}")).toBe(400);
  expect(await statusFor(`${url}/records/keep`, "POST", { host, "content-type": "application/json" }, "{no")).toBe(400);
});

test("searches out of bounds are refused", async () => {
  const { url } = await serveForTest({ benches });
  for (const query of [`text=${"x".repeat(201)}`, "limit=1000000", "before=-1", "verdict=maybe", "text=a&text=b"])
    expect([query, (await look(`${url}/records/list?${query}`)).status]).toEqual([query, 400]);
});

test("a request larger than all photos may be is refused, and the server goes on", async () => {
  const { url } = await serveForTest({ benches });
  const { status, body } = await post<{ code: string }>(`${url}/records/retest`, { hash: "x".repeat(10_000) });
  expect([status, body.code]).toEqual([413, "too-large"]);
  expect((await look(`${url}/records/list`)).status).toBe(200);
});

test("a file that is no record store is left alone and named, and once it is gone records can be kept", async () => {
  const recordsPath = join(scratchFolder(), "notes.sqlite");
  writeFileSync(recordsPath, "shopping list, and some more of it ".repeat(200));
  const { url } = await serveForTest({ benches, recordsPath });
  const client = await walked(url);
  const listing = await look(`${url}/records/list`);
  expect(listing.status).toBe(503);
  expect(listing.body).toMatchObject({ message: expect.stringContaining(recordsPath) });
  expect((await keep(url, 1)).status).toBe(503);
  writeFileSync(recordsPath, "");
  expect((await keep(url, 1)).status).toBe(201);
  client.close();
});

test("a folder where no store can be is said, and the walk can still be kept elsewhere", async () => {
  const folder = scratchFolder();
  writeFileSync(join(folder, "file"), "");
  const { url } = await serveForTest({ benches, recordsPath: join(folder, "file", "store.sqlite") });
  const client = await walked(url);
  expect(await keep(url, 1)).toMatchObject({ status: 503, body: { code: "read-only" } });
  expect((await look<{ state: string }>(`${url}/records/keepable`)).body.state).toBe("ready");
  client.close();
});

test("verifying says that all holds; after one changed letter it names the record", async () => {
  const { url, recordsPath } = await serveForTest({ benches });
  expect((await verify(url)).at(-1)).toMatchObject({ kind: "failed", code: "no-store" });
  const client = await walked(url);
  const { body } = await keep(url, 1);
  expect((await verify(url)).at(-1)).toMatchObject({ kind: "report", report: { holds: true, records: 1 } });

  const sqlite = new Database(recordsPath);
  sqlite.exec("UPDATE record_document SET document = replace(document, 'R. Calder', 'R. Calden')");
  sqlite.close();

  expect((await verify(url)).at(-1)).toMatchObject({
    kind: "report",
    report: { holds: false, firstBad: { number: 1, hash: body.hash } },
  });
  const page = await look<{ seal: { holds: boolean; problem: string } }>(`${url}/records/record/${body.hash}`);
  expect(page.body.seal.holds).toBe(false);
  client.close();
});
