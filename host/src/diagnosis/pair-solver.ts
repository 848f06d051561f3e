import { fitPair, type PairFit } from "./hypotheses/fit-pair.js";
import type { Bench, Hypothesis } from "./hypotheses/hypothesis.js";

/** Kinds that reach into a series of places: what lies before them there does no more what lies behind them does. */
const joints: readonly string[] = ["short-to-ground", "bridge", "swap"];

/** Solves pairs of faults, each once. */
export class PairSolver {
  private readonly known = new Map<string, { fit: PairFit | undefined; floor: number }>();
  private readonly byName: ReadonlyMap<string, Hypothesis>;

  constructor(
    hypotheses: readonly Hypothesis[],
    private readonly twins: ReadonlyMap<Hypothesis, readonly Hypothesis[]>,
    private readonly bench: Bench,
    private readonly shared: number,
  ) {
    this.byName = new Map(hypotheses.map((hypothesis) => [nameOf(hypothesis), hypothesis]));
  }

  /** The two together; undefined when they cannot reach the floor. */
  solve(first: Hypothesis, second: Hypothesis, floor: number): PairFit | undefined {
    const key = `${nameOf(first)} ${nameOf(second)}`;
    const known = this.known.get(key);
    if (known !== undefined && (known.fit !== undefined || known.floor <= floor)) return known.fit;
    const fit = this.eitherSide(first, second, floor);
    this.known.set(key, { fit, floor });
    return fit;
  }

  /** The best that the two or their twins reach: where one of them is a joint, the other's twins do not do the same. */
  bestOfTwins(first: Hypothesis, second: Hypothesis, floor: number): number {
    let best = Number.NEGATIVE_INFINITY;
    for (const [one, other] of this.setsOfTwins(first, second)) {
      best = Math.max(best, this.solve(one, other, floor)?.logLikelihood ?? Number.NEGATIVE_INFINITY);
    }
    return best;
  }

  /** Whether both move the same readings, so that their twins have to be solved for themselves. */
  meet(first: Hypothesis, second: Hypothesis): boolean {
    return this.bench.bounds.meet(first.walk, second.walk);
  }

  private setsOfTwins(first: Hypothesis, second: Hypothesis): (readonly [Hypothesis, Hypothesis])[] {
    const joined = isJoint(first);
    if (joined === isJoint(second) || !this.meet(first, second)) return [[first, second]];
    return joined
      ? (this.twins.get(second) ?? [second]).map((twin) => [first, twin] as const)
      : (this.twins.get(first) ?? [first]).map((twin) => [twin, second] as const);
  }

  /** A wire that is joined to something may be broken before the joint or behind it: the network has it behind. */
  private eitherSide(first: Hypothesis, second: Hypothesis, floor: number): PairFit | undefined {
    const least = { floor, shared: this.shared };
    const behind = fitPair(first, second, this.bench, least);
    const one = this.beforeJoint(first, second);
    const other = this.beforeJoint(second, first);
    if (one === undefined && other === undefined) return behind;
    const before = fitPair(one ?? first, other ?? second, this.bench, least);
    if (behind === undefined || before === undefined) return behind ?? before;
    return before.logLikelihood > behind.logLikelihood ? before : behind;
  }

  /** The contact in front of a broken wire, where the other fault touches that wire; undefined elsewhere. */
  private beforeJoint({ concrete: { fault } }: Hypothesis, other: Hypothesis): Hypothesis | undefined {
    if (!fault.at.startsWith("wire:") || !isJoint(other)) return undefined;
    if (!other.concrete.fault.at.split("+").includes(fault.at)) return undefined;
    return this.byName.get(`${fault.kind}@${fault.at.replace("wire:", "pin:")}`);
  }
}

/** Whether a fault reaches into a series of places. */
export function isJoint({ concrete: { fault } }: Pick<Hypothesis, "concrete">): boolean {
  return joints.includes(fault.kind);
}

function nameOf({ concrete: { fault } }: Hypothesis): string {
  return `${fault.kind}@${fault.at}`;
}
