import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";
import { RecordStore } from "@pinwalk/host/records/store/record-store.js";
import { verifyStore } from "@pinwalk/host/records/verify/verify-store.js";
import { describe, expect, it } from "vitest";
import { smallJpeg } from "./pictures.js";
import { scratchFolder, seeded, vehicleJob, version } from "./sample-job.js";

/** Starting a program takes most of a second here; PINWALK_KILLS=100 is the long form. */
const kills = Number(process.env.PINWALK_KILLS ?? 6);

const script = fileURLToPath(new URL("keep-until-killed.mjs", import.meta.url));

/** Kills the child at a moment that has nothing to do with its work, and gives every hash that it confirmed. */
async function killedAfter(child: ChildProcess, confirmations: number, extraMs: number): Promise<readonly string[]> {
  const confirmed: string[] = [];
  if (!child.stdout) throw new Error("no output to read");
  const lines = createInterface({ input: child.stdout });
  lines.on("line", (line) => {
    confirmed.push(line);
    // A save takes a few milliseconds: the kill falls somewhere into the next ones.
    if (confirmed.length === confirmations) setTimeout(() => child.kill("SIGKILL"), extraMs);
  });
  await Promise.all([once(child, "close"), once(lines, "close")]);
  expect(child.signalCode).toBe("SIGKILL");
  return confirmed.filter((line) => line.length === 64);
}

describe(`A program killed at ${kills} random moments while it keeps records`, () => {
  it(
    "leaves every confirmed record, whole and verified, and no half of another",
    async () => {
      const folder = scratchFolder();
      const storePath = join(folder, "store.sqlite");
      writeFileSync(join(folder, "job.json"), JSON.stringify(vehicleJob));
      writeFileSync(join(folder, "photo.jpg"), smallJpeg);
      const random = seeded(Number(process.env.PINWALK_KILL_SEED ?? 1));
      const confirmed: string[] = [];
      for (let round = 0; round < kills; round++) {
        const child = spawn(
          process.execPath,
          [script, storePath, join(folder, "job.json"), join(folder, "photo.jpg")],
          {
            stdio: ["ignore", "pipe", "inherit"],
          },
        );
        confirmed.push(...(await killedAfter(child, 1 + Math.floor(random() * 4), random() * 12)));
        const report = await verifyStore(storePath);
        expect(report, `round ${round}`).toMatchObject({ holds: true, badCount: 0, problems: [] });
        // One more than confirmed may be there: committed, but its line never got out.
        expect(report.records - confirmed.length).toBeGreaterThanOrEqual(0);
        expect(report.records - confirmed.length).toBeLessThanOrEqual(round + 1);
      }
      const store = await RecordStore.openForReading(storePath, { version });
      for (const hash of confirmed) expect((await store.record(hash)).hash).toBe(hash);
      const halves = await store.read((db) =>
        db
          .selectFrom("record_entry as e")
          .leftJoin("record_document as d", "d.seq", "e.seq")
          .leftJoin("record_search as s", "s.seq", "e.seq")
          .select("e.seq")
          .where((where) => where.or([where("d.seq", "is", null), where("s.seq", "is", null)]))
          .execute(),
      );
      expect(halves).toEqual([]);
      await store.close();
    },
    60_000 + kills * 5000,
  );
});
