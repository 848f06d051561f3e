import { existsSync, statSync } from "node:fs";
import type {
  ComparisonView,
  KeepableWalk,
  RecordListing,
  RecordPageView,
} from "@pinwalk/host/server/records/records-contract.js";
import { expect, test } from "vitest";
import { makePng } from "../records/pictures.js";
import { machineWithPorts } from "./bench-on-a-port.js";
import { keep, look, walked } from "./records-over-http.js";
import { serveForTest } from "./serve-for-test.js";
import { WorkbenchClient } from "./workbench-client.js";

const benches = machineWithPorts();
const listed = (url: string, query = "") => look<RecordListing>(`${url}/records/list${query}`);

test("before anything is kept the list is empty, and looking makes no file", async () => {
  const { url, recordsPath } = await serveForTest({ benches });
  expect((await listed(url)).body).toEqual({
    records: [],
    nextBefore: null,
    storePath: recordsPath,
    storeExists: false,
  });
  expect(existsSync(recordsPath)).toBe(false);
});

test("a walk that was kept is found by customer and serial number, opens, and its seal holds", async () => {
  const { url } = await serveForTest({ benches });
  const client = await walked(url);
  const { status, body } = await keep(url, 1, { customer: "Ann Müller", notes: "Second visit.\nLoom renewed." });
  expect([status, body.number, body.remark]).toEqual([201, 1, null]);

  for (const text of ["muller", "kx 4471", "müller calder"])
    expect((await listed(url, `?text=${encodeURIComponent(text)}`)).body.records.map(({ hash }) => hash)).toEqual([
      body.hash,
    ]);
  expect((await listed(url, "?text=somebody-else")).body.records).toEqual([]);

  const { body: page } = await look<RecordPageView>(`${url}/records/record/${body.hash}`);
  expect(page.seal).toEqual({ holds: true });
  expect(page.certificate.notes).toBe("Second visit.\nLoom renewed.");
  expect(page.certificate.rows.map(({ pin, result }) => [pin, result])).toEqual([
    ["LT", "as planned"],
    ["RT", "as planned"],
    ["TM", "as planned"],
  ]);
  client.close();
});

test("the list comes in pages that leave nothing out and show nothing twice", async () => {
  const { url } = await serveForTest({ benches });
  const client = await walked(url);
  await keep(url, 1);
  for (const number of [2, 3]) {
    await client.walkToTheEnd();
    await keep(url, number, { serial: `S-${number}` });
  }
  const first = (await listed(url, "?limit=2")).body;
  const second = (await listed(url, `?limit=2&before=${first.nextBefore}`)).body;
  expect([...first.records, ...second.records].map(({ serial }) => serial)).toEqual(["S-3", "S-2", "KX-4471-QB"]);
  expect(second.nextBefore).toBeNull();
  client.close();
});

test("a walk is kept once, and only the walk that the person saw", async () => {
  const { url } = await serveForTest({ benches });
  expect((await keep(url, 1)).status).toBe(404);
  const client = await walked(url);
  expect((await look<KeepableWalk>(`${url}/records/keepable`)).body.state).toBe("ready");
  const both = await Promise.all([keep(url, 1), keep(url, 1)]);
  expect(both.map(({ status }) => status).sort()).toEqual([201, 409]);
  expect((await keep(url, 1)).status).toBe(409);
  expect((await look<KeepableWalk>(`${url}/records/keepable`)).body.state).toBe("kept");
  await client.walkToTheEnd();
  expect((await keep(url, 1)).status).toBe(404);
  expect((await listed(url)).body.records).toHaveLength(1);
  client.close();
});

test("a walk that was stopped cannot be kept", async () => {
  const { url } = await serveForTest({ benches });
  const client = await WorkbenchClient.open(url);
  await client.must("plan:choose", { planId: "sample:hatchback-round-6.json" });
  await client.must("walk:start", {});
  await client.must("walk:stop", {});
  await client.until(({ walk }) => walk.state === "ended");
  expect((await keep(url, 1)).body).toMatchObject({ code: "not-judged" });
  client.close();
});

test("what a walk-round adds after keeping becomes a record that puts the first right", async () => {
  const { url } = await serveForTest({ benches });
  const client = await walked(url);
  const first = await keep(url, 1);
  await client.must("round:start", {});
  for (let step = 1; client.state.round.state !== "ended"; step += 1) {
    const { round } = await client.until(
      (state) => state.round.state === "ended" || (state.round.light === "lit" && state.round.step === step),
    );
    if (round.state === "ended") break;
    await client.must("round:answer", { step, lit: null });
    await client.until((state) => state.round.state === "ended" || state.round.step > step);
  }
  expect((await look<KeepableWalk>(`${url}/records/keepable`)).body.state).toBe("changed");
  const second = await keep(url, 1);
  expect(second.status).toBe(201);
  const { records } = (await listed(url)).body;
  expect(records.map(({ hash, corrects, correctedBy }) => ({ hash, corrects, correctedBy }))).toEqual([
    { hash: second.body.hash, corrects: first.body.hash, correctedBy: null },
    { hash: first.body.hash, corrects: null, correctedBy: second.body.hash },
  ]);
  client.close();
});

test("a photo comes back byte for byte under its hash, as the type that it is", async () => {
  const { url } = await serveForTest({ benches });
  const client = await walked(url);
  const picture = makePng(40, 30);
  const { body } = await keep(url, 1, { photos: [{ base64: picture.toString("base64"), caption: "Ground bolt" }] });
  const { body: page } = await look<RecordPageView>(`${url}/records/record/${body.hash}`);
  const [photo] = page.certificate.photos;
  const sent = await fetch(`${url}/records/photos/${photo?.sha256}`);
  expect(Buffer.from(await sent.arrayBuffer()).equals(picture)).toBe(true);
  expect(sent.headers.get("content-type")).toBe("image/png");
  expect(sent.headers.get("x-content-type-options")).toBe("nosniff");
  client.close();
});

test("the records of one vehicle are compared circuit by circuit, with uncertainty", async () => {
  const { url } = await serveForTest({ benches });
  const client = await walked(url);
  await keep(url, 1);
  await client.must("faults:set", { faults: [{ choice: "open@lamp:left-rear.bright" }] });
  await client.walkToTheEnd();
  await keep(url, 2, { serial: "kx 4471 qb" });

  const { body } = await look<ComparisonView>(`${url}/records/compare?serial=KX4471QB`);
  expect(body.records.map(({ verdict }) => verdict)[1]).toBe("fail");
  const left = body.circuits.find(({ pin }) => pin === "LT");
  expect(left?.points).toHaveLength(2);
  expect(left?.significant).toBe(true);
  expect(left?.points.every(({ amps }) => amps.uncertainty > 0)).toBe(true);
  expect(body.circuits.find(({ pin }) => pin === "TM")?.significant).toBe(false);
  expect((await look(`${url}/records/compare?serial=NEVER-SEEN`)).status).toBe(404);
  client.close();
});

test("a re-test puts the record's plan on the workbench", async () => {
  const { url } = await serveForTest({ benches });
  const client = await walked(url);
  const { body } = await keep(url, 1);
  const other = client.state.plans.list.find(({ name }) => name !== client.state.plans.chosen?.name);
  await client.must("plan:choose", { planId: other?.id ?? "" });
  const before = client.state.plans.list.length;

  const answer = await fetch(`${url}/records/retest`, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify({ hash: body.hash }),
  });

  expect(answer.status).toBe(200);
  await client.until(({ plans }) => plans.chosen?.name === "Alder Creek loan hatchback");
  // The plan was on the shelf: it is not put there twice.
  expect(client.state.plans.list).toHaveLength(before);
  client.close();
});

test("the store outlives the server: what was kept is there when it starts again", async () => {
  const served = await serveForTest({ benches });
  const client = await walked(served.url);
  const { body } = await keep(served.url, 1);
  client.close();
  await served.close();
  expect(statSync(served.recordsPath).size).toBeGreaterThan(0);
  const { url } = await serveForTest({ benches, recordsPath: served.recordsPath });
  expect((await listed(url)).body.records.map(({ hash }) => hash)).toEqual([body.hash]);
});
