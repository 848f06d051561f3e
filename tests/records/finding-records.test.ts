import type { RecordQuery } from "@pinwalk/host/records/store/search-records.js";
import { describe, expect, it } from "vitest";
import { cableJob, emptyStore, vehicleJob } from "./sample-job.js";

async function shop() {
  const store = await emptyStore();
  const jobs = [
    { ...vehicleJob, customer: "Žofie Dvořáková", subject: { ...vehicleJob.subject, serial: "AB-12 34" } },
    {
      ...vehicleJob,
      customer: "Ann Miller",
      subject: { ...vehicleJob.subject, serial: "100% X_7" },
      notes: "Splice redone",
    },
    {
      ...cableJob,
      customer: "Millerton Motors",
      subject: { kind: "cable" as const, serial: "C-0001" },
      batch: "2026-W48",
    },
    { ...cableJob, subject: { kind: "cable" as const, serial: "C-0002" }, batch: "2026-W48", person: "Σοφία" },
  ];
  for (const job of jobs) await store.keep({ job });
  const find = async (query: RecordQuery) => (await store.search(query)).records.map(({ number }) => number);
  return { store, find };
}

describe("Finding records", () => {
  it("looks anywhere in a name, whatever its case and accents", async () => {
    const { find } = await shop();
    expect(await find({ customer: "miller" })).toEqual([4, 3, 2]);
    expect(await find({ customer: "dvorak" })).toEqual([1]);
    expect(await find({ customer: "ŽOFIE" })).toEqual([1]);
    expect(await find({ text: "σοφια" })).toEqual([4]);
    expect(await find({ text: "splice" })).toEqual([2]);
    expect(await find({ text: "miller umbilical" })).toEqual([4, 3]);
  });

  it("takes a serial number with and without its blanks and hyphens, and parts of it", async () => {
    const { find } = await shop();
    expect(await find({ serial: "ab1234" })).toEqual([1]);
    expect(await find({ subject: "1234" })).toEqual([1]);
    expect(await find({ subject: "12 34" })).toEqual([1]);
    expect(await find({ serial: "ab123" })).toEqual([]);
  });

  it("takes signs that a database has other uses for as what they are", async () => {
    const { find } = await shop();
    expect(await find({ subject: "100%" })).toEqual([2]);
    expect(await find({ subject: "x_7" })).toEqual([2]);
    expect(await find({ subject: "%" })).toEqual([2]);
    expect(await find({ customer: "' OR 1=1 --" })).toEqual([]);
    expect(await find({ customer: "\\" })).toEqual([]);
  });

  it("keeps a word of one part from being found in another", async () => {
    const { find } = await shop();
    expect(await find({ customer: "hatchback" })).toEqual([]);
    expect(await find({ plan: "miller" })).toEqual([]);
    expect(await find({ subject: "miller" })).toEqual([]);
    expect(await find({ subject: "blue", plan: "alder", customer: "zofie" })).toEqual([1]);
    expect(await find({ text: "\u0001" })).toEqual([4, 3, 2, 1]);
  });

  it("narrows by plan, kind, batch, verdict and time", async () => {
    const { find } = await shop();
    expect(await find({ plan: "hatchback" })).toEqual([2, 1]);
    expect(await find({ kind: "cable" })).toEqual([4, 3]);
    expect(await find({ batch: "2026-W48" })).toEqual([4, 3]);
    expect(await find({ verdict: "fail", kind: "vehicle" })).toEqual([2, 1]);
    expect(await find({ verdict: "pass" })).toEqual([]);
    expect(await find({ since: "2026-11-20T10:00:00.000Z" })).toEqual([4, 3, 2, 1]);
    expect(await find({ until: "2026-11-20T10:00:00.000Z" })).toEqual([]);
  });

  it("gives pages that go on where the last one ended", async () => {
    const { store } = await shop();
    const first = await store.search({ limit: 3 });
    expect(first.records.map(({ number }) => number)).toEqual([4, 3, 2]);
    const second = await store.search({ limit: 3, before: first.nextBefore ?? 0 });
    expect(second).toMatchObject({ records: [{ number: 1 }], nextBefore: null });
  });

  it("reads a record by its number, its hash, or the first digits of it", async () => {
    const { store } = await shop();
    const { hash } = (await store.record("#3")).summary;
    for (const reference of ["3", hash, hash.slice(0, 10), hash.toUpperCase()])
      expect((await store.record(reference)).hash).toBe(hash);
    for (const reference of ["9", "abc", "../3", "", "f".repeat(64)])
      await expect(store.record(reference)).rejects.toMatchObject({ code: "no-such-record" });
  });
});
