import type { BatchReport } from "../../records/batch/batch-report.js";
import type { SavedRecord } from "../../records/store/saved-record.js";
import type { DeskGround } from "../bench-desk.js";
import type { CommandAck, CommandPayload } from "../contract.js";
import type { KeepRequest, KeptView } from "../records/records-contract.js";
import type { WalkRun } from "../walk-run.js";
import { batchContent, emptyBatch } from "./batch-view.js";
import type { BatchView, CableResult, CableView } from "./cable-contract.js";
import { cableResult } from "./cable-result.js";
import { nextSerial } from "./next-serial.js";

/** Where results become records. Both reject with words for people. */
export interface BatchKeeper {
  keep(request: KeepRequest): Promise<KeptView>;
  batch(name: string): Promise<{ readonly report: BatchReport; readonly records: readonly SavedRecord[] }>;
}

interface CableGround extends Pick<DeskGround, "plan" | "walk" | "hindrances" | "busy" | "onChanged" | "onEnded"> {
  startWalk(): CommandAck;
}

interface Batch extends BatchView {
  readonly shop: string | undefined;
}

const done: CommandAck = { ok: true };
const refuse = (code: string, message: string) => ({ ok: false, code, message }) as const;
const wordsOf = (error: unknown): string => (error instanceof Error ? error.message : String(error));

/** Checks of cables: what the last walk says of the conductors, and many cables in a row, each kept as a record of its own. */
export class CableDesk {
  readonly #ground: CableGround;
  readonly #keeper: BatchKeeper;
  #batch: Batch | null = null;
  /** Counts the batches, so that what comes late is not taken for the next one's. */
  #turn = 0;
  #worked: { readonly findings: WalkRun["findings"]; readonly result: CableResult | null } | null = null;

  constructor(ground: CableGround, keeper: BatchKeeper) {
    this.#ground = ground;
    this.#keeper = keeper;
  }

  /** While a batch goes on, the check list that was ticked for its first cable holds for the next. */
  get batchGoesOn(): boolean {
    return this.#batch !== null;
  }

  view(): CableView {
    const walk = this.#ground.walk()?.run.view;
    const cable = this.#ground.plan()?.kind === "cable";
    const hindrance = cable ? (this.#ground.hindrances()[0] ?? null) : "Choose the plan of a cable first.";
    const { state, end } = cable && walk ? walk : { state: "idle" as const, end: null };
    return { state, hindrance, end: end && {}, result: cable ? this.#result() : null, batch: this.#batchView() };
  }

  async begin({ batch, person, shop, serial }: CommandPayload<"batch:begin">): Promise<CommandAck> {
    if (this.#ground.busy()) return refuse("walking", "Something goes on with the bench. Stop it first.");
    if (this.#ground.plan()?.kind !== "cable") return refuse("no-cable", "Choose the plan of a cable first.");
    try {
      const content = await this.#content(batch);
      const last = content.rows[0]?.serial;
      const next = serial ?? (last === undefined ? "1" : nextSerial(last));
      this.#turn += 1;
      this.#batch = { batch, person, shop, nextSerial: next, nowSerial: null, problem: null, ...content };
    } catch (error) {
      return refuse("no-store", wordsOf(error));
    }
    this.#ground.onChanged("cable");
    return done;
  }

  end(): CommandAck {
    if (this.#batch?.nowSerial) return refuse("walking", "A cable is being checked. Wait for it, or stop it.");
    this.#batch = null;
    // What was ticked for the batch is ticked for nothing else.
    this.#ground.onEnded();
    this.#ground.onChanged("cable");
    return done;
  }

  check({ serial }: CommandPayload<"cable:check">): CommandAck {
    const batch = this.#batch;
    if (this.#ground.plan()?.kind !== "cable") return refuse("no-cable", "Choose the plan of a cable first.");
    if (batch?.nowSerial) return refuse("walking", "The cable before is still being kept.");
    const answer = this.#ground.startWalk();
    const run = this.#ground.walk()?.run;
    if (!answer.ok || !batch || !run) return answer;
    const number = serial?.trim() || batch.nextSerial;
    this.#change({ nextSerial: number, nowSerial: number, problem: null });
    const turn = this.#turn;
    void run.done.then(() => this.#ended(run, number, turn));
    return done;
  }

  /** Another plan: its cables are of another batch. */
  reset(): void {
    this.#batch = null;
    this.#turn += 1;
    this.#worked = null;
  }

  /** A walk that ended without a verdict says nothing of the cable: its number stays for the next try. */
  async #ended(run: WalkRun, serial: string, turn: number): Promise<void> {
    const batch = this.#batch;
    if (!batch || turn !== this.#turn) return;
    // Another batch may have been begun while this cable was kept.
    const change = (part: Partial<Batch>): void => {
      if (turn === this.#turn) this.#change(part);
    };
    if (!run.findings) return change({ nowSerial: null, problem: `${serial} was not tested, and not kept.` });
    try {
      await this.#keeper.keep({
        walkNumber: run.view.number,
        kind: "cable",
        serial,
        person: batch.person,
        batch: batch.batch,
        ...(batch.shop === undefined ? {} : { shop: batch.shop }),
        photos: [],
      });
      change({ ...(await this.#content(batch.batch)), nowSerial: null, nextSerial: nextSerial(serial) });
    } catch (error) {
      change({ nowSerial: null, problem: `${serial} was not kept: ${wordsOf(error)}` });
    }
  }

  async #content(name: string): Promise<typeof emptyBatch> {
    const { report, records } = await this.#keeper.batch(name);
    return records.length === 0 ? emptyBatch : batchContent(report, records);
  }

  #change(part: Partial<Batch>): void {
    // It may have ended in the meantime.
    if (this.#batch) this.#batch = { ...this.#batch, ...part };
    this.#ground.onChanged("cable");
  }

  #batchView(): BatchView | null {
    if (!this.#batch) return null;
    const { shop: _own, ...view } = this.#batch;
    return view;
  }

  /** Worked out once for each verdict. */
  #result(): CableResult | null {
    const run = this.#ground.walk()?.run;
    if (!run?.findings || !run.readings || run.plan.kind !== "cable") return null;
    if (this.#worked?.findings !== run.findings) {
      const result = cableResult(run.plan, run.readings, run.findings, run.view.number);
      this.#worked = { findings: run.findings, result };
    }
    return this.#worked?.result ?? null;
  }
}
