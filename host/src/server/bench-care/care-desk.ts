import { driveChannels } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { findBenches } from "../../bench/discovery.js";
import { adapterOf } from "../../plan/adapter.js";
import type { Plan } from "../../plan/plan-schema.js";
import type { SelfTestOutcome } from "../../procedures/self-test/self-test.js";
import type { BenchDesk, DeskGround } from "../bench-desk.js";
import type { BenchView, CommandAck, CommandPayload } from "../contract.js";
import type { StopReason } from "../walk-fold.js";
import type { BenchCareSections, BenchCareView, CalibrationView, SelfTestView } from "./bench-care-contract.js";
import { type BenchFacts, benchFacts } from "./bench-facts.js";
import { CalibrationRun, noCalibration } from "./calibration-run.js";
import type { AnyCareDocument, CareDocuments } from "./care-documents.js";
import { noSelfTest, SelfTestRun } from "./self-test-run.js";
import type { VirtualBoard } from "./virtual-board.js";

const done: CommandAck = { ok: true };
const refuse = (code: string, message: string): CommandAck => ({ ok: false, code, message });
const busy = refuse("walking", "Something else goes on with the bench. Stop it first.");
const noJob = refuse("not-going", "Nothing of that kind goes on.");

/** A board of bought parts; another each time one is asked for. */
const mostSeed = 0xffff;

/** Looking after a bench: asking it, its own tests, its calibration. One at a time. */
export class CareDesk implements BenchDesk {
  readonly #ground: DeskGround;
  readonly #documents: CareDocuments;
  readonly #board: VirtualBoard | undefined;
  #selfTest: SelfTestRun | null = null;
  #calibration: CalibrationRun | null = null;
  #asking: Promise<void> | null = null;
  /** Each section of the state, made when it is told. */
  readonly sections: { readonly [Name in keyof BenchCareSections]: () => BenchCareSections[Name] } = {
    benchCare: () => this.#careView(),
    selfTest: () => this.#selfTestView(),
    calibration: () => this.#calibrationView(),
  };

  constructor(ground: DeskGround, documents: CareDocuments, board: VirtualBoard | undefined) {
    this.#ground = ground;
    this.#documents = documents;
    this.#board = board;
  }

  get going(): boolean {
    return this.#asking !== null || this.#present !== null;
  }

  /** Asks the chosen bench who and how it is; what it says goes to the list of benches. */
  async ask(): Promise<CommandAck> {
    if (this.#ground.busy()) return busy;
    const bench = this.#ground.bench();
    if (!bench) return refuse("no-bench", "Choose a bench first.");
    if (bench.kind === "serial" && this.#ground.searching())
      return refuse("searching", "Looking for benches … It is being asked already.");
    const problem = await this.#askNow(bench);
    this.#ground.onEnded();
    return problem === null ? done : refuse("no-answer", problem);
  }

  replaceBoard({ scattered }: CommandPayload<"bench:board">): CommandAck {
    if (this.#ground.busy()) return busy;
    if (!this.#board) return refuse("no-board", "There is no virtual bench here whose board could be replaced.");
    this.#board.replace(scattered ? Math.ceil(Math.random() * mostSeed) : null);
    const virtual = this.#ground.benches().find(({ kind }) => kind === "virtual");
    if (virtual) this.#ground.learn(virtual.id, null);
    this.#ground.onChanged("benchCare");
    return done;
  }

  startSelfTest(): CommandAck {
    return this.#start((bench, openPort) => {
      const plan = this.#ground.plan();
      this.#selfTest = new SelfTestRun({
        bench,
        openPort,
        ...(plan && bench.kind === "serial" ? { wired: wiredChannels(plan) } : {}),
        onView: () => this.#ground.onChanged("selfTest"),
        onTested: (outcome) => this.#keepSelfTest(bench, outcome),
      });
      return this.#selfTest.done;
    });
  }

  answerSelfTest({ step, ready }: CommandPayload<"self-test:answer">): CommandAck {
    if (!this.#selfTest?.going) return noJob;
    return this.#selfTest.answer(step, ready) ? done : refuse("not-waiting", "That step has been answered already.");
  }

  startCalibration(start: CommandPayload<"calibration:start">): CommandAck {
    return this.#start((bench, openPort) => {
      this.#calibration = new CalibrationRun({
        bench,
        start,
        openPort,
        onView: () => this.#ground.onChanged("calibration"),
        onCalibrated: (document) => this.#keep(document),
      });
      return this.#calibration.done;
    });
  }

  answerCalibration({ step, volts }: CommandPayload<"calibration:answer">): CommandAck {
    if (!this.#calibration?.going) return noJob;
    const problem = this.#calibration.answer(step, volts);
    return problem === null ? done : refuse("not-taken", problem);
  }

  async simulate(): Promise<CommandAck> {
    const obeyed = await this.#present?.simulate();
    return obeyed === true ? done : refuse("no-simulation", "There is nothing to do on the virtual bench now.");
  }

  stop(reason: StopReason): void {
    this.#present?.stop(reason);
  }

  async idle(): Promise<void> {
    await this.#present?.done;
    await this.#asking;
  }

  /** What was found of a bench does not belong to a plan. */
  reset(): void {}

  left(): void {}

  get #present(): SelfTestRun | CalibrationRun | null {
    return [this.#selfTest, this.#calibration].find((run) => run?.going) ?? null;
  }

  #start(begin: (bench: BenchView, openPort: () => ReturnType<DeskGround["openBare"]>) => Promise<void>): CommandAck {
    const bench = this.#ground.bench();
    const hindrance = this.#hindrance();
    if (this.#ground.busy()) return busy;
    if (hindrance !== null || !bench) return refuse("not-ready", hindrance ?? "Not ready.");
    const ended = begin(bench, () => this.#ground.openBare(bench));
    this.#ground.onChanged("selfTest", "calibration");
    void ended.then(async () => {
      // Its calibration may be another now.
      await this.#askNow(bench);
      this.#ground.onEnded();
    });
    return done;
  }

  /** Why it gave no answer; null when it did. */
  async #askNow(bench: BenchView): Promise<string | null> {
    let problem: string | null = null;
    const asked = this.#factsOf(bench).then(
      (facts) => this.#ground.learn(bench.id, facts),
      (error: unknown) => {
        problem = error instanceof Error ? error.message : String(error);
      },
    );
    this.#asking = asked;
    this.#ground.onChanged("benchCare");
    await asked;
    this.#asking = null;
    this.#ground.onChanged("benchCare");
    return problem;
  }

  /** Throws where it does not answer as a bench does. */
  async #factsOf(bench: BenchView): Promise<BenchFacts> {
    const [found] = await findBenches({
      paths: [bench.path],
      inFull: true,
      openPort: () => this.#ground.openBare(bench),
    });
    if (found?.kind !== "bench") throw new Error(found?.message ?? "Nothing answered.");
    return benchFacts(found, new Date());
  }

  async #keepSelfTest(bench: BenchView, outcome: SelfTestOutcome & { readonly kind: "tested" }): Promise<string> {
    const facts = bench.facts ?? (await this.#factsOf(bench).catch(() => undefined));
    return await this.#keep({
      format: "pinwalk-selftest-report/1",
      bench: { serial: facts?.serial ?? "-", firmware: facts?.firmware ?? "-", name: bench.name },
      testedAt: new Date().toISOString(),
      overall: outcome.overall,
      items: [...outcome.items],
    });
  }

  async #keep(document: AnyCareDocument): Promise<string> {
    const id = await this.#documents.keep(document, new Date());
    this.#ground.onChanged("benchCare");
    return id;
  }

  #hindrance(): string | null {
    const bench = this.#ground.bench();
    if (!bench) return "Choose a bench first.";
    if (bench.state === "busy") return bench.detail;
    return this.#ground.searching() ? "Looking for benches …" : null;
  }

  #careView(): BenchCareView {
    return {
      documents: this.#documents.list,
      board: this.#board ? (this.#board.isScattered ? "scattered" : "designed") : null,
      asking: this.#asking !== null,
    };
  }

  #selfTestView(): SelfTestView {
    return { ...(this.#selfTest?.view ?? noSelfTest), hindrance: this.#hindrance() };
  }

  #calibrationView(): CalibrationView {
    return { ...(this.#calibration?.view ?? noCalibration), hindrance: this.#hindrance() };
  }
}

/** Drive channels that have a pin on the plan's connector, its ground apart. */
function wiredChannels(plan: Plan): readonly number[] {
  const { near, groundPins } = adapterOf(plan);
  return near
    .filter(({ pin, channel }) => channel < driveChannels && !groundPins.includes(pin))
    .map(({ channel }) => channel);
}
