import { createWriteStream, statSync } from "node:fs";
import { rm } from "node:fs/promises";
import { basename } from "node:path";
import type { Readable } from "node:stream";
import { pipeline } from "node:stream/promises";
import { bundleEnding } from "../../records/bundle/bundle-format.js";
import { exportBundle } from "../../records/bundle/export-bundle.js";
import { importBundle } from "../../records/bundle/import-bundle.js";
import { signerName } from "../../records/chain/record-signature.js";
import { RecordsError } from "../../records/records-error.js";
import { pageSealPathOf } from "../../records/store/page-seal.js";
import type { RecordStore } from "../../records/store/record-store.js";
import { DeskRefusal } from "./desk-refusal.js";
import { FilesToTake, type FileToTake } from "./files-to-take.js";
import type { OpenStore } from "./open-store.js";
import { type ExportRequest, type ImportedView, mostImportBytes, type OfferedFiles } from "./records-contract.js";

/** In one export; more of them go out on the command line. */
const mostExported = 5000;

/** Records on their way in and out: exports that another Pinwalk imports, imports, and copies of the whole store. One at a time. */
export class RecordsMoves {
  readonly #store: OpenStore;
  readonly #files = new FilesToTake();
  #moving = false;

  constructor(store: OpenStore) {
    this.#store = store;
  }

  /** All records that fit the search, oldest first, as chains go. */
  async exportFound({ text, verdict, since, until }: ExportRequest): Promise<OfferedFiles> {
    return await this.#alone(async () => {
      const store = await this.#toRead();
      const query = {
        ...(text === undefined ? {} : { text }),
        ...(verdict === undefined ? {} : { verdict }),
        ...(since === undefined ? {} : { since }),
        ...(until === undefined ? {} : { until }),
      };
      const found = await everyRecord(store, query);
      if (found.length === 0) throw new DeskRefusal("no-such-record", "No record fits, so there is nothing to export.");
      const name = `pinwalk-${today()}${bundleEnding}`;
      const path = await this.#files.place(name);
      const { records, photos } = await exportBundle(store, found, path, this.#store.version);
      const words = `${counted(records, "record")} and ${counted(photos, "photo")}, signed by this shop.`;
      return { words, files: [this.#offer({ path, name })] };
    });
  }

  /** The whole store, with the seal that lets a copy be verified page by page. */
  async backUp(): Promise<OfferedFiles> {
    return await this.#alone(async () => {
      const store = await this.#toRead();
      const name = `pinwalk-records-${today()}.sqlite`;
      const path = await this.#files.place(name);
      const { records } = await store.backUp(path);
      const seal = { path: pageSealPathOf(path), name: basename(pageSealPathOf(name)) };
      const words = `${counted(records, "record")}. The key that signs new records is not part of it: keep a copy of that apart.`;
      return { words, files: [this.#offer({ path, name }), this.#offer(seal)] };
    });
  }

  /** Takes an export in whole or not at all; every hash, signature and photo is checked before anything stays. */
  async importFrom(body: Readable): Promise<ImportedView> {
    return await this.#alone(async () => {
      const path = await this.#files.place("import");
      try {
        await pipeline(bounded(body, mostImportBytes), createWriteStream(path, { flags: "wx", mode: 0o600 }));
        const store = await this.#store.toWrite();
        const { added, alreadyThere, exportedBy, signers, remark } = await importBundle(store, path);
        return {
          added,
          alreadyThere,
          exportedBy: signerName(exportedBy),
          signers: signers.map(({ signer, own, added: count }) => ({ name: signerName(signer), own, added: count })),
          remark: remark ?? null,
        };
      } finally {
        await rm(path, { force: true });
      }
    });
  }

  file(token: string): FileToTake | undefined {
    return this.#files.get(token);
  }

  close(): Promise<void> {
    return this.#files.close();
  }

  #offer(file: FileToTake): OfferedFiles["files"][number] {
    return { name: file.name, href: `/records/files/${this.#files.offer(file)}`, bytes: statSync(file.path).size };
  }

  async #toRead(): Promise<RecordStore> {
    const store = await this.#store.toRead();
    if (!store) throw new RecordsError("no-such-record", "There are no records yet.");
    return store;
  }

  async #alone<T>(work: () => Promise<T>): Promise<T> {
    if (this.#moving) throw new DeskRefusal("moving", "Records are being moved already. Wait for that to end.");
    this.#moving = true;
    try {
      return await work();
    } finally {
      this.#moving = false;
    }
  }
}

async function everyRecord(store: RecordStore, query: Parameters<RecordStore["search"]>[0]): Promise<string[]> {
  const found: { hash: string; seq: number }[] = [];
  let before: number | undefined;
  do {
    const page = await store.search({ ...query, limit: 1000, ...(before === undefined ? {} : { before }) });
    found.push(...page.records);
    before = page.nextBefore ?? undefined;
    if (found.length > mostExported)
      throw new DeskRefusal(
        "too-many",
        `More than ${mostExported} records fit. Search for fewer, or export them on the command line.`,
      );
  } while (before !== undefined);
  return found.sort((a, b) => a.seq - b.seq).map(({ hash }) => hash);
}

async function* bounded(body: Readable, most: number): AsyncGenerator<Buffer> {
  let bytes = 0;
  for await (const chunk of body as AsyncIterable<Buffer>) {
    bytes += chunk.length;
    if (bytes > most)
      throw new DeskRefusal(
        "too-large",
        `That is more than ${Math.round(most / 1024 / 1024)} MB. Import it on the command line.`,
      );
    yield chunk;
  }
}

const today = (): string => new Date().toISOString().slice(0, 10);
const counted = (count: number, what: string): string => `${count} ${what}${count === 1 ? "" : "s"}`;
