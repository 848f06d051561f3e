import { expect, test } from "vitest";
import { machineWithPorts } from "./bench-on-a-port.js";
import { keep, look, walked } from "./records-over-http.js";
import { serveForTest } from "./serve-for-test.js";

const benches = machineWithPorts();

/** A server with one record, whose texts are as hostile as a person can type them. */
async function withRecord() {
  const served = await serveForTest({ benches });
  const client = await walked(served.url);
  const { body } = await keep(served.url, 1, {
    serial: "../../A\"B';=1",
    customer: "<img src=x onerror=alert(1)>",
    notes: "=HYPERLINK(1)",
  });
  client.close();
  return { ...served, record: `${served.url}/records/record/${body.hash}`, hash: body.hash };
}

test("the certificate is a PDF file, named by letters and digits alone whatever the serial number", async () => {
  const { record } = await withRecord();
  const answer = await fetch(`${record}/certificate.pdf`);
  expect(answer.headers.get("content-type")).toBe("application/pdf");
  expect(answer.headers.get("content-disposition")).toBe("attachment; filename=pinwalk-certificate-1-A-B-1.pdf");
  expect(answer.headers.get("cache-control")).toBe("no-store");
  const bytes = Buffer.from(await answer.arrayBuffer());
  expect(bytes.toString("latin1", 0, 5)).toBe("%PDF-");
  expect(bytes.toString("latin1").trimEnd().endsWith("%%EOF")).toBe(true);
});

test("the printable page shows a hostile name as text, and its policy lets nothing run", async () => {
  const { record } = await withRecord();
  const answer = await fetch(`${record}/page`);
  const text = await answer.text();
  expect(text).toContain("&lt;img src=x");
  expect(text).not.toContain("<img src=x");
  const policy = answer.headers.get("content-security-policy") ?? "";
  expect(policy).toContain("default-src 'none'");
  expect(policy).toMatch(/\bsandbox\b/);
  expect(policy).not.toMatch(/script-src|unsafe|allow-scripts|allow-same-origin/);
});

test("the spreadsheet and the record come as files of their types", async () => {
  const { record, hash } = await withRecord();
  const csv = await fetch(`${record}/circuits.csv`);
  expect(csv.headers.get("content-type")).toBe("text/csv; charset=utf-8");
  expect((await csv.text()).split("\r\n").filter((line) => line !== "")).toHaveLength(4);
  const json = await fetch(`${record}/record.json`);
  expect(json.headers.get("content-disposition")).toContain("attachment");
  const sealed = (await json.json()) as { hash: string; signature: string; record: { subject: { serial: string } } };
  expect(sealed.hash).toBe(hash);
  expect(sealed.record.subject.serial).toBe("../../A\"B';=1");
});

test("there are no documents but those", async () => {
  const { record } = await withRecord();
  for (const name of ["constructor", "nothing.pdf", "..%2F..%2Fstore.sqlite"])
    expect([name, (await look(`${record}/${name}`)).status]).toEqual([name, 404]);
});

test("a hash that no record has, and one that is none, are refused in words", async () => {
  const { url } = await withRecord();
  expect(await look(`${url}/records/record/${"0".repeat(64)}`)).toMatchObject({
    status: 404,
    body: { code: "no-such-record" },
  });
  expect((await look(`${url}/records/record/17/certificate.pdf`)).status).toBe(400);
  expect((await look(`${url}/records/record/${"0".repeat(64)}/certificate.pdf`)).status).toBe(404);
});
