import { createHash } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { exportBundle } from "@pinwalk/host/records/bundle/export-bundle.js";
import { importBundle } from "@pinwalk/host/records/bundle/import-bundle.js";
import { canonicalJson } from "@pinwalk/host/records/chain/canonical-json.js";
import { recordHash } from "@pinwalk/host/records/chain/record-hash.js";
import { signHash } from "@pinwalk/host/records/chain/record-signature.js";
import { makeSigningKey, type SigningKey } from "@pinwalk/host/records/chain/signing-key.js";
import type { RecordStore } from "@pinwalk/host/records/store/record-store.js";
import { verifyBundle } from "@pinwalk/host/records/verify/verify-bundle.js";
import { verifyStore } from "@pinwalk/host/records/verify/verify-store.js";
import { describe, expect, it } from "vitest";
import { makePng, smallJpeg } from "./pictures.js";
import { cableJob, emptyStore, scratchFolder, vehicleJob, version } from "./sample-job.js";

const refused = (code: string) => expect.objectContaining({ code });

/** A shop with three records, one with photos, and an export of all. */
async function otherShop() {
  const folder = scratchFolder();
  const store = await emptyStore("other.sqlite", folder);
  const kept = [
    await store.keep({ job: vehicleJob, photos: [{ data: smallJpeg }, { data: makePng(30, 20) }] }),
    await store.keep({ job: cableJob, photos: [{ data: smallJpeg, caption: "the same again" }] }),
    await store.keep({ job: vehicleJob }),
  ];
  const path = join(folder, "out.pinwalk-records");
  await exportBundle(
    store,
    kept.map(({ hash }) => hash),
    path,
    version,
  );
  return { store, kept, path, folder };
}

/** An export made by hand: valid JSON, hashes and signatures around whatever records are given. */
function forgedBundle(key: SigningKey, records: readonly object[], extraLines: readonly string[] = []): string {
  const lines = records.map((record) => {
    const hash = recordHash(record);
    return canonicalJson({ hash, record, signature: signHash(key.privateKey, "pinwalk-record/1", hash) });
  });
  const head = canonicalJson({
    exportedAt: "2026-11-25T12:00:00.000Z",
    format: "pinwalk-records/1",
    photos: 0,
    program: { name: "pinwalk", version },
    records: records.length,
    signer: key.signer,
  });
  const body = `${[head, ...lines, ...extraLines].join("\n")}\n`;
  const sha256 = recordHashOfText(body);
  const signature = signHash(key.privateKey, "pinwalk-records/1", sha256);
  return `${body}${canonicalJson({ seal: { lines: lines.length + extraLines.length + 1, sha256, signature } })}\n`;
}

function recordHashOfText(text: string): string {
  return createHash("sha256").update(text).digest("hex");
}

async function everyRecord(store: RecordStore): Promise<number> {
  return (await store.search({ limit: 1000 })).records.length;
}

describe("Importing", () => {
  it("takes another shop's records in with their photos and shows them as theirs", async () => {
    const { kept, path, store: other } = await otherShop();
    const store = await emptyStore();
    await store.keep({ job: vehicleJob });
    const result = await importBundle(store, path);
    expect(result).toMatchObject({ added: 3, alreadyThere: 0, exportedBy: other.signingKey()?.signer });
    expect(result.signers).toEqual([{ signer: kept[0]?.record.signer, own: false, added: 3 }]);
    const foreign = await store.search({ own: false });
    expect(foreign.records.map(({ own, number }) => [own, number])).toEqual([
      [false, 3],
      [false, 2],
      [false, 1],
    ]);
    const read = await store.record(kept[1]?.hash ?? "");
    expect(read.signature).toBe(kept[1]?.signature);
    expect(Buffer.from((await store.photo(read.record.photos[0]?.sha256 ?? ""))?.data ?? []).equals(smallJpeg)).toBe(
      true,
    );
    const next = await store.keep({ job: vehicleJob });
    expect(next.record.number).toBe(2);
    expect(await verifyStore(store.path)).toMatchObject({ holds: true, records: 5 });
  });

  it("does nothing the second time, and never makes a double", async () => {
    const { path } = await otherShop();
    const store = await emptyStore();
    await importBundle(store, path);
    expect(await importBundle(store, path)).toMatchObject({ added: 0, alreadyThere: 3 });
    expect(await everyRecord(store)).toBe(3);
  });

  it("knows its own records again where the key is there", async () => {
    const { store, path } = await otherShop();
    expect(await importBundle(store, path)).toMatchObject({ added: 0, alreadyThere: 3 });
    expect((await store.chains()).filter(({ own }) => own)).toHaveLength(1);
  });

  it("takes an excerpt in, says that records are missing, and fills the gap later", async () => {
    const { store: other, kept, folder, path } = await otherShop();
    const part = join(folder, "part.pinwalk-records");
    await exportBundle(other, [kept[2]?.hash ?? ""], part, version);
    const store = await emptyStore();
    await importBundle(store, part);
    const report = await verifyStore(store.path);
    expect(report.holds).toBe(true);
    expect(report.chains[0]?.missing).toBe(2);
    expect(await importBundle(store, path)).toMatchObject({ added: 2, alreadyThere: 1 });
    expect((await verifyStore(store.path)).chains[0]?.missing).toBe(0);
  });

  it("imports nothing of a file of which one record was changed, and names it", async () => {
    const { path } = await otherShop();
    writeFileSync(path, readFileSync(path, "utf8").replace("the same again", "not the same"));
    const store = await emptyStore();
    await expect(importBundle(store, path)).rejects.toThrow(/record 2 /);
    expect(await everyRecord(store)).toBe(0);
    expect(await store.read((db) => db.selectFrom("photo").select("sha256").execute())).toEqual([]);
  });

  it("refuses a second history of the same signer", async () => {
    const key = makeSigningKey(join(scratchFolder(), "key"));
    const { kept } = await otherShop();
    const template = { ...kept[2]?.record, signer: key.signer, number: 1, previous: "0".repeat(64) };
    const store = await emptyStore();
    const folder = scratchFolder();
    const write = (name: string, ...records: object[]): string => {
      writeFileSync(join(folder, name), forgedBundle(key, records));
      return join(folder, name);
    };
    const first = template;
    await importBundle(store, write("first", first));
    const rewritten = { ...template, customer: "Somebody else" };
    await expect(importBundle(store, write("rewritten", rewritten))).rejects.toEqual(refused("conflict"));
    const astray = { ...template, number: 2, previous: recordHash(rewritten) };
    await expect(importBundle(store, write("astray", astray))).rejects.toEqual(refused("conflict"));
    const joined = { ...template, number: 2, previous: recordHash(first) };
    expect((await importBundle(store, write("joined", joined))).added).toBe(1);
  });

  it("does not let another shop's record put right one of this shop's", async () => {
    const store = await emptyStore();
    const own = await store.keep({ job: vehicleJob });
    const key = makeSigningKey(join(scratchFolder(), "key"));
    const claim = { ...own.record, signer: key.signer, corrects: { hash: own.hash, why: "we know better" } };
    const path = join(scratchFolder(), "claim");
    writeFileSync(path, forgedBundle(key, [claim]));
    await importBundle(store, path);
    expect((await store.record(own.hash)).summary.correctedBy).toBeNull();
  });
});

describe("A hostile import", () => {
  const newKey = (): SigningKey => makeSigningKey(join(scratchFolder(), "key"));

  async function importing(text: string | Buffer) {
    const path = join(scratchFolder(), "hostile");
    writeFileSync(path, text);
    const store = await emptyStore();
    const attempt = importBundle(store, path);
    const outcome = await attempt.then(
      () => "imported",
      (error: { code?: string }) => error.code ?? error,
    );
    expect(await everyRecord(store)).toBe(0);
    expect((await verifyBundle(path)).holds).toBe(outcome === "imported" || outcome === "not-a-record");
    return outcome;
  }

  async function validRecord(key: SigningKey) {
    const store = await emptyStore();
    const { record } = await store.keep({ job: vehicleJob });
    return { ...record, signer: key.signer };
  }

  it.each([
    ["nothing", ""],
    ["a picture", smallJpeg],
    ["a JSON document of another kind", '{"format":"pinwalk-plan/1"}\n'],
    ["brackets without end", `${"[".repeat(2_000_000)}\n`],
    [
      "a head and brackets without end",
      `{"exportedAt":"x","format":"pinwalk-records/1"}\n{"hash":${"[".repeat(100_000)}\n`,
    ],
    ["bytes that are no UTF-8", Buffer.concat([Buffer.from('{"exportedAt":"'), Buffer.from([0xc3, 0x28, 0x0a])])],
  ])("of %s is refused", async (_name, text) => {
    expect(await importing(text)).toBe("does-not-hold");
  });

  it("whose line never ends is refused before it fills the memory", async () => {
    expect(await importing(Buffer.alloc(25 * 1024 * 1024, "a"))).toMatch(/not-readable|does-not-hold/);
  });

  it("with members that reach for a prototype changes no prototype", async () => {
    const key = newKey();
    const record = await validRecord(key);
    const line = forgedBundle(key, [record]).replace('"answers":', '"__proto__":{"polluted":true},"answers":');
    expect(await importing(line)).toBe("does-not-hold");
    expect(({} as { polluted?: boolean }).polluted).toBeUndefined();
  });

  it.each([
    [
      "a path for a photo's name",
      { photos: [{ sha256: "../../etc/passwd", type: "image/png", bytes: 1, width: 1, height: 1 }] },
    ],
    [
      "a photo that is not there",
      { photos: [{ sha256: "a".repeat(64), type: "image/png", bytes: 9, width: 9, height: 9 }] },
    ],
    ["a number that is none", { number: -1 }],
    ["a customer that turns the line around", { customer: "\u202Egnp.exe" }],
    ["a customer that moves the cursor", { customer: "\u001b[2Jgone" }],
    ["an unknown member", { extra: 1 }],
    ["a name of a megabyte", { person: "x".repeat(1_000_000) }],
    ["a signer that is not the one who signed", { signer: "b".repeat(64) }],
  ])("with %s is refused, signature or not", async (_name, change) => {
    const key = newKey();
    const outcome = await importing(forgedBundle(key, [{ ...(await validRecord(key)), ...change }]));
    expect(["does-not-hold", "not-a-record"]).toContain(outcome);
  });
});
