import { existsSync } from "node:fs";
import { type BatchReport, batchReport } from "../../records/batch/batch-report.js";
import { type Comparison, compareRecords } from "../../records/compare/compare-records.js";
import { RecordsError } from "../../records/records-error.js";
import type { RecordStore } from "../../records/store/record-store.js";
import type { SavedRecord } from "../../records/store/saved-record.js";
import type { Workbench } from "../workbench.js";
import { DeskRefusal } from "./desk-refusal.js";
import { jobOf, keepableWalk } from "./keepable-walk.js";
import type { OpenStore } from "./open-store.js";
import { recordPageView } from "./record-page-view.js";
import type {
  KeepableWalk,
  KeepRequest,
  KeptView,
  ListQuery,
  RecordListing,
  RecordPageView,
} from "./records-contract.js";
import { RecordsMoves } from "./records-moves.js";

/** Where walks become records and records become pages. Every method throws a RecordsError or a DeskRefusal, in words. */
export class RecordsDesk {
  readonly #workbench: Workbench;
  readonly #store: OpenStore;
  readonly moves: RecordsMoves;
  #keeping = false;

  constructor(workbench: Workbench, store: OpenStore) {
    this.#workbench = workbench;
    this.#store = store;
    this.moves = new RecordsMoves(store);
  }

  get storePath(): string {
    return this.#store.path;
  }

  async list({ text, verdict, since, until, before, limit }: ListQuery): Promise<RecordListing> {
    const store = await this.#store.toRead();
    const place = { storePath: this.#store.path, storeExists: existsSync(this.#store.path) };
    if (!store) return { records: [], nextBefore: null, ...place };
    const page = await store.search({
      limit: limit ?? 50,
      ...(text === undefined ? {} : { text }),
      ...(verdict === undefined ? {} : { verdict }),
      ...(since === undefined ? {} : { since }),
      ...(until === undefined ? {} : { until }),
      ...(before === undefined ? {} : { before }),
    });
    return { ...page, ...place };
  }

  /** The record and the open store, for whoever makes documents of it. */
  async record(hash: string): Promise<{ readonly saved: SavedRecord; readonly store: RecordStore }> {
    const store = await this.#store.toRead();
    if (!store) throw new RecordsError("no-such-record", "There are no records yet.");
    return { saved: await store.record(hash), store };
  }

  async page(hash: string): Promise<RecordPageView> {
    const { saved, store } = await this.record(hash);
    const { records } = await store.search({ serial: saved.record.subject.serial, limit: 200 });
    return recordPageView(saved, records.length);
  }

  async photo(sha256: string): Promise<{ readonly type: string; readonly data: Uint8Array } | undefined> {
    return (await this.#store.toRead())?.photo(sha256);
  }

  async compare(serial: string): Promise<Comparison> {
    const store = await this.#store.toRead();
    const comparison = store && compareRecords(await store.history(serial));
    if (!comparison) throw new RecordsError("no-such-record", `There is no record of ${serial}.`);
    return comparison;
  }

  keepable(): KeepableWalk {
    return keepableWalk(this.#workbench);
  }

  /** Makes the last walk a record; when more was seen since it was kept, one that puts the earlier right. */
  async keep(request: KeepRequest): Promise<KeptView> {
    const { run } = this.#workbench;
    const walk = this.keepable();
    if (!run || walk.walkNumber !== request.walkNumber)
      throw new DeskRefusal("no-such-walk", "That walk is not on the workbench any more. Walk again, then keep it.");
    if (walk.state === "not-judged")
      throw new DeskRefusal("not-judged", "Only a walk that has ended with a verdict can be kept.");
    if (walk.state === "kept") throw new DeskRefusal("kept-already", "This walk has been kept already.");
    if (this.#keeping) throw new DeskRefusal("kept-already", "This walk is being kept at this moment.");
    const job = jobOf(run, request, walk.hash, this.#workbench.guide.leftOutAnswers());
    if (!job) throw new DeskRefusal("not-judged", "Only a walk that has ended with a verdict can be kept.");
    const { findings } = run;
    const photos = request.photos.map(({ base64, caption }) => ({
      data: Buffer.from(base64, "base64"),
      ...(caption === undefined ? {} : { caption }),
    }));
    this.#keeping = true;
    try {
      const store = await this.#store.toWrite();
      const kept = await store.keep({ job, photos });
      run.recorded = { hash: kept.hash, findings };
      this.#workbench.guide.noteKept();
      return { hash: kept.hash, number: kept.record.number, remark: kept.remark ?? null };
    } finally {
      this.#keeping = false;
    }
  }

  /** A batch's records and what is made of them; empty where nothing was kept under this name yet. */
  async batch(name: string): Promise<{ readonly report: BatchReport; readonly records: readonly SavedRecord[] }> {
    const store = await this.#store.toRead();
    const records = store ? await store.batch(name) : [];
    return { report: batchReport(name, records), records };
  }

  /** Puts the record's plan on the workbench. */
  async retest(hash: string): Promise<void> {
    const { saved } = await this.record(hash);
    const text = JSON.stringify(saved.record.plan, null, 2);
    const answer = await this.#workbench.planChoice.upload({ fileName: `Record ${saved.record.number}`, text });
    if (!answer.ok) throw new DeskRefusal(answer.code, answer.message);
  }

  async close(): Promise<void> {
    await this.moves.close();
    await this.#store.close();
  }
}
