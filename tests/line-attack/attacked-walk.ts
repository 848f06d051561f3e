import { Walk } from "@pinwalk/host/procedures/walk.js";
import type { WalkOutcome } from "@pinwalk/host/procedures/walk-events.js";
import { AttackedPort, type LineAttack } from "./attacked-port.js";
import { differingNumber, readingNumbers } from "./reading-numbers.js";
import { SteppedBench } from "./stepped-bench.js";
import type { Subject } from "./subjects.js";
import { isOn, isSilentTooLong } from "./valid-lines.js";

/** An attack on one whole walk; milliseconds of emulated time. */
export interface WalkAttack extends LineAttack {
  /** A person cancels. */
  readonly cancelAtMs?: number;
}

/** What an honest line gives for a subject: the measure of all others. */
export interface CleanWalk {
  readonly verdicts: string;
  readonly numbers: ReadonlyMap<string, number>;
  readonly lastsMs: number;
}

export interface AttackedWalk {
  /** `right`: same verdicts and readings as on an honest line. `hang`: no end within `HANG_MS`. */
  readonly ending: "right" | "could-not-test" | "cancelled" | "wrong" | "hang";
  /** Why it could not be tested, or what was wrong. */
  readonly detail: string;
  readonly mishaps: number;
  /** Something was on for longer than one second after the last valid line, or after the end. */
  readonly leftOn: boolean;
  /** The walk said that everything is off, and it was not. */
  readonly saidOffWrongly: boolean;
  readonly longestOnInSilenceMs: number;
  readonly lastsMs: number;
}

const NO_ATTACK: LineAttack = { seed: 0, perByteToBench: 0, perByteToHost: 0 };
/** A whole walk lasts three seconds, and the most patient of its waits 3 x 1.5 s: a minute is no patience any more. */
const HANG_MS = 60_000;
const AFTER_MS = 1_200;
/** The walk of a subject on an honest line. */
export async function cleanWalk(subject: Subject, seed: number): Promise<CleanWalk> {
  const bench = new SteppedBench(subject.plan, subject.faults, seed);
  const walk = new Walk({ plan: subject.plan, port: new AttackedPort(bench, NO_ATTACK) });
  if (!(await bench.until(walk.outcome, HANG_MS))) throw new Error(`${subject.name} hangs on an honest line`);
  const outcome = await walk.outcome;
  if (outcome.kind !== "judged") throw new Error(`${subject.name}: ${JSON.stringify(outcome)}`);
  return { verdicts: verdictsOf(outcome), numbers: readingNumbers(outcome.readings), lastsMs: bench.clock.nowMs() };
}

/** The same walk under attack, judged by the clean one and by what the outputs really did. */
export async function attackedWalk(subject: Subject, clean: CleanWalk, attack: WalkAttack): Promise<AttackedWalk> {
  const bench = new SteppedBench(subject.plan, subject.faults, attack.seed);
  const port = new AttackedPort(bench, attack);
  const walk = new Walk({ plan: subject.plan, port });
  if (attack.cancelAtMs !== undefined) bench.clock.after(attack.cancelAtMs, () => walk.cancel());
  const ended = await bench.until(walk.outcome, HANG_MS);
  const lastsMs = bench.clock.nowMs();
  const { outputs } = bench.machine;
  const onAtEnd = isOn(outputs.last);
  const outcome = ended ? await walk.outcome : undefined;
  await bench.pass(AFTER_MS);
  const longestOnInSilenceMs = bench.validLines.longestOnInSilenceMs(outputs.entries, bench.clock.nowMs());
  return {
    ...endingOf(outcome, clean),
    mishaps: port.mishaps,
    leftOn: isOn(outputs.last) || isSilentTooLong(longestOnInSilenceMs),
    saidOffWrongly: onAtEnd && outcome !== undefined && saysOff(outcome),
    longestOnInSilenceMs,
    lastsMs,
  };
}

function endingOf(outcome: WalkOutcome | undefined, clean: CleanWalk): Pick<AttackedWalk, "ending" | "detail"> {
  if (outcome === undefined) return { ending: "hang", detail: `no end within ${HANG_MS} ms` };
  if (outcome.kind === "could-not-test") return { ending: outcome.kind, detail: outcome.code };
  if (outcome.kind === "cancelled") return { ending: outcome.kind, detail: "" };
  const verdicts = verdictsOf(outcome);
  if (verdicts !== clean.verdicts) return { ending: "wrong", detail: `${verdicts} instead of ${clean.verdicts}` };
  const differing = differingNumber(readingNumbers(outcome.readings), clean.numbers);
  if (differing !== undefined) return { ending: "wrong", detail: differing };
  return { ending: "right", detail: "" };
}

function saysOff(outcome: WalkOutcome): boolean {
  return outcome.kind === "judged" || outcome.outputs === "confirmed-off";
}

function verdictsOf({ findings }: Extract<WalkOutcome, { kind: "judged" }>): string {
  return [findings.overall, ...findings.circuits.map(({ pin, verdict }) => `${pin}:${verdict}`)].join(" ");
}
