import { existsSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { pinwalk } from "../cli/pinwalk-command.js";
import { smallJpeg } from "./pictures.js";
import { scratchFolder, vehicleJob } from "./sample-job.js";

/** A folder with a plan, readings and a photo, and the command bound to a store in it. */
function bay() {
  const folder = scratchFolder();
  const file = (name: string): string => join(folder, name);
  writeFileSync(file("plan.json"), JSON.stringify(vehicleJob.plan));
  writeFileSync(file("readings.json"), JSON.stringify(vehicleJob.readings));
  writeFileSync(file("photo.jpg"), smallJpeg);
  const records = (...args: string[]) => pinwalk("records", ...args, "--store", file("store.sqlite"));
  const keep = (...args: string[]) =>
    records(
      "keep",
      file("plan.json"),
      file("readings.json"),
      "--person",
      "R. Calder",
      "--vehicle",
      "KX-4471-QB",
      ...args,
    );
  return { file, records, keep };
}

describe("pinwalk records", () => {
  it("keeps a job, finds it, shows it, exports it, and finds it unchanged", async () => {
    const { file, records, keep } = bay();
    const kept = await keep("--customer", "Ann Miller", "--photo", file("photo.jpg"), "--answer", "Lit?=no");
    expect(kept).toMatchObject({
      code: 0,
      out: expect.stringMatching(/^Kept as record #1, verdict fail\.\nHash [0-9a-f]{64}\n$/),
    });
    const [list, show, verify] = await Promise.all([
      records("list", "--customer", "miller"),
      records("show", "#1"),
      records("verify"),
    ]);
    expect(list.out).toContain("KX-4471-QB");
    expect(show.out).toMatch(/Lit\? - no[\s\S]*Signer/);
    expect(verify).toMatchObject({ code: 0, out: expect.stringMatching(/^HOLDS: 1 records/) });
    const out = file("out.pinwalk-records");
    const exports = await Promise.all([records("export", out), records("export", file("c.pdf"), "--record", "1")]);
    expect(exports.map(({ code }) => code)).toEqual([0, 0]);
    expect(readFileSync(file("c.pdf")).toString("latin1", 0, 5)).toBe("%PDF-");
    const imported = await pinwalk("records", "import", out, "--store", file("other.sqlite"));
    expect(imported).toMatchObject({ code: 0, out: expect.stringContaining("another shop") });
    writeFileSync(out, readFileSync(out, "utf8").replace("Ann Miller", "Bob Miller"));
    const damaged = await pinwalk("records", "verify", out);
    expect(damaged).toMatchObject({
      code: 1,
      out: expect.stringMatching(/first record that does not hold: Record #1/),
    });
    const refused = await pinwalk("records", "import", out, "--store", file("other.sqlite"));
    expect(refused).toMatchObject({ code: 1, err: expect.stringContaining("Nothing was imported") });
  }, 120_000);

  it("writes the plan of an old record for a re-test, corrects, compares and backs up", async () => {
    const { file, records, keep } = bay();
    await keep();
    const correction = await keep("--corrects", "1", "--because", "customer was missing", "--customer", "Ann Miller");
    expect(correction.code).toBe(0);
    const plan = await records("show", "1", "--plan-file", file("retest.json"));
    expect(plan.code).toBe(0);
    expect(JSON.parse(readFileSync(file("retest.json"), "utf8"))).toEqual(vehicleJob.plan);
    const [compare, backup] = await Promise.all([
      records("compare", "kx4471qb", "--json"),
      records("backup", file("copy.sqlite")),
    ]);
    expect(JSON.parse(compare.out)).toMatchObject({ leftOut: 1, records: [{ number: 2 }] });
    expect(backup.code).toBe(0);
    expect((await pinwalk("records", "verify", file("copy.sqlite"))).code).toBe(0);
  }, 120_000);

  it("exports the key for its owner alone, and says what losing it means", async () => {
    const { file, records, keep } = bay();
    await keep();
    const key = await records("key", "--export", file("key.pem"), "--public", file("key.pub"));
    expect(key.code).toBe(0);
    expect(readFileSync(file("key.pem"), "utf8")).toContain("BEGIN PRIVATE KEY");
    expect(readFileSync(file("key.pub"), "utf8")).toContain("BEGIN PUBLIC KEY");
    if (process.platform !== "win32") expect(statSync(file("key.pem")).mode & 0o777).toBe(0o600);
    expect((await records("key", "--export", file("key.pem"))).code).toBe(64);
    expect((await pinwalk("records", "key", "--help")).out.replace(/\s+/g, " ")).toContain(
      "If it is lost, every old record still verifies",
    );
  }, 120_000);

  it("says what is wrong, with the exit code of wrong use, and makes no store of it", async () => {
    const { file, records, keep } = bay();
    const tries = await Promise.all([
      keep("--cable", "C-1"),
      keep("--photo", file("plan.json")),
      keep("--customer", "\u001b[31mred"),
      records("list"),
      records("export", file("what.xyz")),
      records("list", "--since", "yesterday"),
    ]);
    for (const { code, err } of tries) {
      expect(code, err).toBe(64);
      expect(err).not.toMatch(/\n\s+at /);
      expect(err.length).toBeGreaterThan(10);
    }
    expect(tries[1]?.err).toContain("no JPEG, PNG or WebP");
    // Some got as far as opening a store, but no record came of it.
    if (existsSync(file("store.sqlite"))) expect((await records("list")).out).toBe("No record fits.\n");
  }, 120_000);
});
