import type { Fault } from "../../plan/fault.js";
import { backFeedAsks } from "../../procedures/back-feed-watch-asks.js";
import { lightablePins } from "../../procedures/walk-round.js";
import { backFeedHindrance } from "../back-feed-run.js";
import type { DeskGround } from "../bench-desk.js";
import type { BenchView, ChecksView, CommandAck, CommandPayload } from "../contract.js";
import { choiceOf } from "../fault-choices.js";
import type { FollowUps } from "../follow-ups.js";
import type { JudgedWithAnswers } from "../judging/judge-with-answers.js";
import { type JudgingDesk, NotJudgedError } from "../judging/judging-desk.js";
import { type GivenAnswer, mostAnswers, type NextCheckView } from "../next-check/next-check-contract.js";
import { roundHindrance } from "../round-run.js";
import { noWalk } from "../walk-fold.js";
import type { WalkRun } from "../walk-run.js";
import type { CheckJournal } from "./check-journal.js";
import { type GuideStep, type GuideView, steppingStones, type UnfinishedCheckView } from "./guide-contract.js";
import { guideStepViews } from "./guide-steps.js";
import type { LeftCheck } from "./left-check.js";
import { unfinishedView } from "./unfinished-view.js";

/** What the guide needs of the workbench besides what every desk does. */
export interface GuideGround extends Pick<DeskGround, "plan" | "bench" | "walk" | "busy" | "onChanged"> {
  checks(): ChecksView;
  faults(): readonly Fault[];
  /** Puts plan, vehicle, bench and readings back as they were left; what is not as it was, in words. */
  takeUp(
    left: LeftCheck,
    judged: JudgedWithAnswers | undefined,
  ): Promise<{ readonly ok: true; readonly changed: string | null } | Extract<CommandAck, { ok: false }>>;
}

/** Steps that can be left out, as a record names them. */
const recordWords = {
  "back-feed": "Back-feed watch",
  "walk-round": "Walk-round",
  "next-checks": "Next checks",
  keep: "Record",
} as const;

const done: CommandAck = { ok: true };
const refuse = (code: string, message: string) => ({ ok: false, code, message }) as const;

/**
 * Leads through an install check, and keeps what it has measured on the disk while it goes on: every reading as it is taken,
 * every answer as it is given, until it has become a record or was put away.
 */
export class GuidedCheck {
  readonly #ground: GuideGround;
  readonly #followUps: FollowUps;
  readonly #journal: CheckJournal;
  readonly #judging: JudgingDesk;
  /** The check on the workbench, as it was written last. */
  #current: { readonly id: string; readonly begunAt: string } | null = null;
  #leftOut: LeftCheck["leftOut"] = {};
  #takenUp: GuideView["takenUp"] = null;
  #takingUp = false;
  #written: unknown[] = [];
  #problem: string | null = null;

  constructor(ground: GuideGround, followUps: FollowUps, journal: CheckJournal, judging: JudgingDesk) {
    this.#ground = ground;
    this.#followUps = followUps;
    this.#journal = journal;
    this.#judging = judging;
  }

  view(): GuideView {
    const plan = this.#ground.plan();
    const facts = plan?.kind === "install" ? this.#facts() : null;
    return {
      ...(facts ? guideStepViews(facts) : { steps: [], next: null }),
      unfinished: this.#unfinished(),
      takenUp: this.#takenUp && { ...this.#takenUp },
      problem: this.#problem,
    };
  }

  nextCheckView(): NextCheckView {
    return this.#run?.nextCheckView() ?? { history: [], toDrive: [], end: null };
  }

  leaveOut({ step, reason }: CommandPayload<"guide:leave-out">): CommandAck {
    if (this.#ground.plan()?.kind !== "install")
      return refuse("no-check", "There is no install check to leave a step out of.");
    const { [step]: _before, ...others } = this.#leftOut;
    this.#leftOut = reason === null ? others : { ...others, [step]: reason };
    this.note();
    this.#ground.onChanged("guide");
    return done;
  }

  /** For the record: what was not done, and why. */
  leftOutAnswers(): readonly { readonly question: string; readonly answer: string }[] {
    const { steps } = this.view();
    return steppingStones.flatMap((step) => {
      const reason = this.#leftOut[step];
      const open = steps.some((row) => row.step === step && row.state === "left-out");
      return reason !== undefined && open ? [{ question: recordWords[step], answer: `Left out: ${reason}` }] : [];
    });
  }

  async answer({ check, answer }: CommandPayload<"next-check:answer">): Promise<CommandAck> {
    const run = this.#run;
    const findings = run?.findings;
    if (!run || !findings || this.#ground.busy()) return refuse("not-now", "There is nothing to answer now.");
    if (run.answers.length >= mostAnswers)
      return refuse("too-many", "That is enough: mend the likeliest, then walk again.");
    const asked = findings.nextChecks.find((one) => sameCheck(one.check, check));
    const outcome = asked?.outcomes?.find((one) => one.answer === answer);
    if (!asked || !outcome)
      return refuse("no-such-check", "That is not asked any more: the ranking has changed since.");
    const given: GivenAnswer = {
      check: asked.check,
      answer,
      question: asked.text,
      words: outcome.text,
      answeredAt: new Date().toISOString(),
    };
    return this.#answered(run, [...run.answers, given]);
  }

  async undo({ index }: CommandPayload<"next-check:undo">): Promise<CommandAck> {
    const run = this.#run;
    if (!run || this.#ground.busy() || index >= run.answers.length)
      return refuse("no-such-answer", "There is no such answer.");
    return this.#answered(run, run.answers.toSpliced(index, 1));
  }

  async takeUp({ checkId }: CommandPayload<"guide:take-up">): Promise<CommandAck> {
    const walking = refuse("walking", "Something goes on with the bench. Stop it first.");
    if (this.#ground.busy()) return walking;
    const left = this.#journal.get(checkId);
    if (!left || checkId === this.#current?.id) return refuse("no-such-check", "That check is not there any more.");
    const judged = left.walked ? await this.#judged(left) : undefined;
    if (judged instanceof NotJudgedError) return refuse(judged.code, judged.message);
    if (this.#ground.busy() || this.#takingUp) return walking;
    // It may have been thrown away, changed or taken up while it was judged.
    if (this.#journal.get(checkId) !== left || checkId === this.#current?.id)
      return refuse("no-such-check", "That check was changed meanwhile. Take it up again.");
    // What comes onto the workbench now is on the disk already, and is no check of its own.
    this.#takingUp = true;
    const answer = await this.#ground.takeUp(left, judged).finally(() => {
      this.#takingUp = false;
    });
    if (!answer.ok) return answer;
    this.#current = { id: left.id, begunAt: left.begunAt };
    this.#leftOut = left.leftOut;
    this.#takenUp = { savedAt: left.savedAt, changed: answer.changed };
    this.#written = this.#parts();
    this.#ground.onChanged("guide", "nextCheck");
    return done;
  }

  async putAway({ checkId }: CommandPayload<"guide:put-away">): Promise<CommandAck> {
    if (!this.#journal.get(checkId)) return refuse("no-such-check", "That check is not there any more.");
    if (checkId === this.#current?.id) return refuse("in-hand", "That check is on the workbench.");
    await this.#journal.remove(checkId);
    this.#ground.onChanged("guide");
    return done;
  }

  /** The last walk has become a record. */
  noteKept(): void {
    this.#ground.onChanged("guide");
  }

  /** Another plan: what was measured stays on the disk, to be taken up again. */
  reset(): void {
    this.#current = null;
    this.#leftOut = {};
    this.#takenUp = null;
    this.#written = [];
  }

  /** A walk begins: after a check that is finished, a check of its own. */
  begin(): void {
    this.#takenUp = null;
    if (this.#current && !this.#journal.get(this.#current.id)) this.reset();
  }

  /** Writes what has been measured and answered, if that is more than what was written last. */
  note(): void {
    const run = this.#run;
    const bench = this.#ground.bench();
    if (this.#takingUp || !run?.readings || !bench || run.plan.kind !== "install") return;
    const parts = this.#parts();
    if (parts.every((part, index) => part === this.#written[index])) return;
    this.#written = parts;
    if (run.recorded?.findings !== undefined && run.recorded.findings === run.findings) {
      this.#finished();
      return;
    }
    const savedAt = new Date().toISOString();
    this.#current ??= { id: `check-${savedAt.replaceAll(/[^0-9]/g, "")}`, begunAt: savedAt };
    const check = this.#document(run, bench, savedAt, this.#current);
    void this.#journal.save(check).then(() => {
      if (this.#journal.problem === this.#problem) return;
      this.#problem = this.#journal.problem;
      this.#ground.onChanged("guide");
    });
  }

  /** Settles when everything is written. */
  close(): Promise<void> {
    return this.#journal.idle();
  }

  async #judged(left: LeftCheck): Promise<JudgedWithAnswers | NotJudgedError> {
    try {
      return await this.#judging.judge(left);
    } catch (error) {
      if (error instanceof NotJudgedError) return error;
      throw error;
    }
  }

  get #run(): WalkRun | undefined {
    return this.#ground.walk()?.run;
  }

  /** It has become a record: nothing is left to take up again. */
  #finished(): void {
    if (!this.#current) return;
    void this.#journal.remove(this.#current.id);
  }

  async #answered(run: WalkRun, answers: readonly GivenAnswer[]): Promise<CommandAck> {
    if (run.weighing) return refuse("weighing", "The answer before is still being weighed. Try again in a moment.");
    const taken = await run.answer(answers);
    if (taken === "void") return refuse("no-such-check", "That is not asked any more: the ranking has changed since.");
    if (taken !== "taken") return refuse(taken.code, `The answer was not taken in. ${taken.message}`);
    this.note();
    this.#ground.onChanged("guide", "nextCheck");
    return done;
  }

  /** Whatever a check on the disk consists of; each is replaced, never changed in place. */
  #parts(): unknown[] {
    const run = this.#run;
    return [run, run?.readings, run?.findings, run?.answers, run?.recorded, this.#leftOut];
  }

  #document(
    run: WalkRun,
    bench: BenchView,
    savedAt: string,
    { id, begunAt }: { id: string; begunAt: string },
  ): LeftCheck {
    const faults = this.#ground.faults();
    const check = {
      format: "pinwalk-check/1" as const,
      id,
      begunAt,
      savedAt,
      plan: run.plan,
      bench: { id: bench.id, name: bench.name },
      faults: faults.map((fault) => ({
        choice: choiceOf(fault),
        ...(fault.ohms === undefined ? {} : { ohms: fault.ohms }),
      })),
      // Measured to the end, though nothing could be made of it yet: that is tried when it is taken up.
      walked: run.findings !== undefined || run.view.phase === "compare",
      readings: run.readings,
      leftOut: this.#leftOut,
      answers: run.answers,
      recordHash: run.recorded?.hash ?? null,
    };
    // As it will be read back, and no part of it the workbench's own.
    return JSON.parse(JSON.stringify(check)) as LeftCheck;
  }

  #unfinished(): readonly UnfinishedCheckView[] {
    return this.#journal.all.filter(({ id }) => id !== this.#current?.id).map(unfinishedView);
  }

  #facts(): Parameters<typeof guideStepViews>[0] | null {
    const plan = this.#ground.plan();
    if (!plan) return null;
    const run = this.#run;
    const { needed, items } = this.#ground.checks();
    const readings = run?.readings;
    const unticked = needed ? items.filter(({ ticked }) => !ticked).length : null;
    const kept = run?.recorded === undefined ? "not-yet" : run.recorded.findings === run.findings ? "kept" : "changed";
    const leftOut: Partial<Record<GuideStep, string>> = this.#leftOut;
    return {
      unticked,
      walk: run?.view ?? noWalk,
      readings,
      backFeed: this.#followUps.backFeedView(),
      round: this.#followUps.roundView(),
      nothingToWatch: backFeedAsks(plan).length === 0 ? backFeedHindrance(plan) : null,
      nothingToLight: readings ? roundHindrance(plan, readings) : null,
      lightable: readings ? lightablePins(plan, readings).length : 0,
      nextCheck: this.nextCheckView(),
      leftOut,
      kept,
    };
  }
}

function sameCheck(one: Readonly<Record<string, string>>, other: Readonly<Record<string, string>>): boolean {
  const names = Object.keys(one);
  return names.length === Object.keys(other).length && names.every((name) => one[name] === other[name]);
}
