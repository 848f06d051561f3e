import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { diagnose } from "@pinwalk/host/diagnosis/diagnose.js";
import type { Job } from "@pinwalk/host/records/record-schema.js";
import { RecordStore } from "@pinwalk/host/records/store/record-store.js";
import { onTestFinished } from "vitest";

type Case = Pick<Job, "plan" | "readings">;

function readCase(name: string): Case {
  const text = readFileSync(new URL(`../../fixtures/cases/${name}.json`, import.meta.url), "utf8");
  // A case file may say -0.0, which JSON's own writers do not.
  return JSON.parse(JSON.stringify(JSON.parse(text)));
}

function jobOf(name: string, kind: "vehicle" | "cable"): Job {
  const { plan, readings } = readCase(name);
  return {
    shop: "Riverbend Tow Wiring",
    person: "R. Calder",
    customer: "Ann Miller",
    subject: { kind, serial: "KX-4471-QB", description: "Blue hatchback" },
    plan,
    readings,
    findings: diagnose(plan, readings),
    answers: [{ question: "Is the left rear lamp lit while LT is driven?", answer: "no" }],
  };
}

/** A vehicle whose contact LT is open, as the case file has it. */
export const vehicleJob: Job = jobOf("install-001", "vehicle");
/** A cable whose far contacts LT and RT are swapped. */
export const cableJob: Job = jobOf("cable-000", "cable");

/** A folder that goes when the test ends. */
export function scratchFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "pinwalk-records-"));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

export const version = "0.0.0-test";

/** An empty store in a folder of its own, closed when the test ends. */
export async function emptyStore(name = "store.sqlite", folder = scratchFolder()): Promise<RecordStore> {
  const store = await RecordStore.openForWriting(join(folder, name), { version });
  onTestFinished(() => store.close());
  return store;
}

/** Numbers between 0 and 1 that are the same in every run (a linear congruential generator, Knuth's MMIX constants). */
export function seeded(seed: number): () => number {
  let state = BigInt(seed);
  return () => {
    state = (state * 6364136223846793005n + 1442695040888963407n) & 0xffffffffffffffffn;
    return Number(state >> 11n) / 2 ** 53;
  };
}
