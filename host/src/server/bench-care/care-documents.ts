import { mkdir, readdir, readFile, rename, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { z } from "zod";
import { calibrationDocumentSchema } from "../../procedures/calibration/calibration-document.js";
import type { CareDocument } from "./bench-care-contract.js";
import { selfTestDocumentSchema } from "./self-test-document.js";
import { uncertaintyWords } from "./uncertainty-words.js";

const careDocumentSchema = z.discriminatedUnion("format", [calibrationDocumentSchema, selfTestDocumentSchema]);
export type AnyCareDocument = z.infer<typeof careDocumentSchema>;

/** As many are listed and read at the start; older files stay where they are. */
const mostListed = 50;
const fileName = /^(calibration|self-test)-([0-9TZ-]{20,24})-[A-Za-z0-9.-]{1,40}\.json$/;

interface Held {
  readonly entry: CareDocument;
  readonly document: AnyCareDocument;
}

/** Calibrations and self-tests of this computer's benches, each a JSON file in one folder, the newest first. */
export class CareDocuments {
  readonly #folder: string;
  #held: readonly Held[] = [];

  constructor(folder: string) {
    this.#folder = folder;
  }

  get list(): readonly CareDocument[] {
    return this.#held.map(({ entry }) => entry);
  }

  get(id: string): Held | undefined {
    return this.#held.find(({ entry }) => entry.id === id);
  }

  /** What is no such document is left out. */
  async load(): Promise<void> {
    const names = (await readdir(this.#folder).catch(() => []))
      .filter((name) => fileName.test(name))
      .sort((a, b) => momentOf(b).localeCompare(momentOf(a)))
      .slice(0, mostListed);
    const held = await Promise.all(names.map((name) => this.#read(name)));
    this.#held = held.filter((one) => one !== undefined);
  }

  /** Keeps a document; its id. One that cannot be written can still be read until the server ends. */
  async keep(document: AnyCareDocument, at: Date): Promise<string> {
    const kind = document.format === "pinwalk-calibration/1" ? "calibration" : "self-test";
    const moment = at.toISOString().replaceAll(/[:.]/g, "-");
    const serial = document.bench.serial.replaceAll(/[^A-Za-z0-9.-]/g, "").slice(0, 16) || "bench";
    const name = `${kind}-${moment}-${serial === "-" ? "bench" : serial}.json`;
    const entry = entryOf(name, document);
    this.#held = [{ entry, document }, ...this.#held].slice(0, mostListed);
    const path = join(this.#folder, name);
    try {
      await mkdir(this.#folder, { recursive: true });
      await writeFile(`${path}.new`, `${JSON.stringify(document, null, 2)}\n`, { flag: "wx" });
      await rename(`${path}.new`, path);
    } catch {
      // The page offers it for download all the same.
    }
    return entry.id;
  }

  async #read(name: string): Promise<Held | undefined> {
    try {
      const document = careDocumentSchema.parse(JSON.parse(await readFile(join(this.#folder, name), "utf8")));
      return { entry: entryOf(name, document), document };
    } catch {
      return undefined;
    }
  }
}

const momentOf = (name: string): string => fileName.exec(name)?.[2] ?? "";

function entryOf(name: string, document: AnyCareDocument): CareDocument {
  const id = name.replace(/\.json$/, "");
  const [day = "", hours = "00", minutes = "00", seconds = "00"] =
    /^(.{10})T(\d\d)-(\d\d)-(\d\d)/.exec(momentOf(name))?.slice(1) ?? [];
  const at = `${day}T${hours}:${minutes}:${seconds}Z`;
  const bench = document.bench.serial === "-" ? "a bench without a serial number" : `bench ${document.bench.serial}`;
  if (document.format === "pinwalk-calibration/1")
    return {
      id,
      kind: "calibration",
      at,
      bench,
      words: `Calibrated ${document.calibratedAt}, due again ${document.dueAt}: ${uncertaintyWords(document.uncertainty)}`,
    };
  const failed = document.items.filter(({ verdict }) => verdict === "fail").length;
  const words = { pass: "passed", unsure: "passed, with something left open", fail: `${failed} failed` }[
    document.overall
  ];
  return { id, kind: "self-test", at, bench, words: `${document.items.length} items: ${words}` };
}
