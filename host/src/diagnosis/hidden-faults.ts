import { canTellApart, canTellBlockApart } from "./can-tell-apart.js";
import type { Explained, WeighedExplanation } from "./explain.js";
import type { ExplanationGroup } from "./group-explanations.js";
import { faultOhms } from "./hypotheses/fault-priors.js";
import type { FaultWalk, Hypothesis } from "./hypotheses/hypothesis.js";
import { isJoint } from "./pair-solver.js";
import type { PredictedWalk } from "./simulation/predicted-walk.js";
import type { PredictionBook } from "./simulation/prediction-book.js";

/** Groups whose explanations are looked behind, and members that each may have in the end. */
const mostGroups = 3;
/** A group less likely than this is not looked behind. */
const leastProbability = 0.01;
const mostMembers = 300;
/** Pairs that are solved to see whether one of the two hides the other, in one group. */
const mostSolved = 160;

/**
 * A dead lamp behind a lost ground moves no reading: beside every explanation by one fault, or by none, stand those of it and
 * a second fault that it hides. They join its group with what their priors leave them.
 */
export function withHiddenFaults(
  groups: readonly ExplanationGroup[],
  { hypotheses }: Explained,
  book: PredictionBook,
): ExplanationGroup[] {
  const seconds = secondsOf(hypotheses);
  const widened = groups.map((group, at) => {
    const [likeliest] = group.members;
    if (likeliest === undefined || at >= mostGroups || group.probability < leastProbability) return group;
    const known = new Set(group.members.map(({ faults }) => keyOf(faults)));
    const found = new Hiding(seconds, likeliest.walk, book).behindAll(group.members).filter((one) => {
      const key = keyOf(one.faults);
      const isNew = !known.has(key);
      known.add(key);
      return isNew;
    });
    found.sort((a, b) => b.probability - a.probability);
    const room = Math.max(0, mostMembers - group.members.length);
    return { ...group, members: [...group.members, ...found.slice(0, room)] };
  });
  return normalised(widened);
}

/** Faults that do exactly the same alone, as one second fault; likeliest first. */
interface Second extends FaultWalk {
  readonly alike: readonly Hypothesis[];
  readonly joint: boolean;
}

function secondsOf(hypotheses: readonly Hypothesis[]): Second[] {
  const byWalk = new Map<unknown, Hypothesis[]>();
  for (const hypothesis of hypotheses) {
    const { lazy } = hypothesis.walk;
    const alike = byWalk.get(lazy);
    if (alike === undefined) byWalk.set(lazy, [hypothesis]);
    else alike.push(hypothesis);
  }
  const seconds = [...byWalk.values()].flatMap((alike) => {
    const [first] = alike;
    return first === undefined ? [] : [{ ...plain(first), alike, joint: isJoint(first) }];
  });
  return seconds.sort((a, b) => (b.alike[0]?.logPrior ?? 0) - (a.alike[0]?.logPrior ?? 0));
}

/** A second fault that no reading shows has no size that readings could decide: an ordinary one stands for it. */
function plain({ concrete, walk, sizing }: Hypothesis): FaultWalk {
  return sizing?.resistance === undefined ? { concrete, walk } : sizing.at(Math.log(faultOhms.median));
}

class Hiding {
  private solved = 0;

  constructor(
    private readonly seconds: readonly Second[],
    private readonly likeliest: PredictedWalk,
    private readonly book: PredictionBook,
  ) {}

  behindAll(members: readonly WeighedExplanation[]): WeighedExplanation[] {
    const hiddenBy = new Map<unknown, Second[]>();
    return members
      .filter(({ faults }) => faults.length < 2)
      .flatMap((member) => {
        if (member.faults.length === 0) return this.pairsOfSilent(member);
        const { lazy } = member.walk;
        const others = this.seconds.filter(({ joint }) => !joint);
        const joint = joinsOthers(member);
        // Before a joint a fault does not do what its twins do behind it: there each is looked at for itself.
        const shared =
          hiddenBy.get(lazy) ??
          (joint ? others.flatMap(eachOfTwins) : others).filter((second) => this.hides(member, second));
        if (!joint) hiddenBy.set(lazy, shared);
        // Twins of a fault do not all hide the same joint: it may lie before one of them and behind another.
        const joints = this.seconds.filter((second) => second.joint && this.hides(member, second));
        return [...shared, ...joints].flatMap((second) => besides(member, second));
      });
  }

  /** Of no fault the bench would notice neither of two that it would not notice alone. */
  private pairsOfSilent(healthy: WeighedExplanation): WeighedExplanation[] {
    const silent = this.seconds.filter(({ walk }) => !canTellApart(walk, this.book.healthy, this.book));
    return silent.flatMap((first, at) =>
      besides(healthy, first).flatMap((single) =>
        silent
          .slice(at)
          .filter((second) => this.staysSilent(first, second))
          .flatMap((second) => besides(single, second)),
      ),
    );
  }

  private staysSilent(first: Second, second: Second): boolean {
    // Two places of one series share their second: what is silent in one need not be when both have it.
    if (first === second && first.alike.length < 2) return false;
    if (first !== second && first.concrete.fault.at === second.concrete.fault.at) return false;
    return !canTellApart(this.book.pair(first.walk, second.walk), this.book.healthy, this.book);
  }

  /** A fault's own walk says where it lies; that of its explanation may have been solved for a twin in the same series. */
  private hides({ walk: solved, alone, faults }: WeighedExplanation, second: Second): boolean {
    const walk = alone.length === 1 ? (alone[0] ?? solved) : solved;
    if (second.alike.every(({ concrete }) => faults.some(({ fault }) => fault.at === concrete.fault.at))) return false;
    if (this.showsAlone(walk, second.walk)) return false;
    if (this.solved >= mostSolved) return false;
    this.solved++;
    const both = this.book.pair(walk, second.walk);
    // A second fault that one member hides may still take the two out of the group: that stands around its likeliest.
    return !canTellApart(both, walk, this.book) && !canTellApart(both, this.likeliest, this.book);
  }

  /** Whether the second fault shows in a reading that the first leaves alone. */
  private showsAlone(first: PredictedWalk, second: PredictedWalk): boolean {
    return second.lazy.order.some(
      (block) => !first.movedAt(block) && canTellBlockApart(second.at(block), this.book.healthyAt(block), this.book),
    );
  }
}

function eachOfTwins({ alike, joint }: Second): Second[] {
  return alike.map((one) => ({ ...plain(one), alike: [one], joint }));
}

function joinsOthers({ faults }: WeighedExplanation): boolean {
  return faults.some(({ fault }) => isJoint({ concrete: { fault } }));
}

/** The explanation with a second fault beside it, once for each place where that does the same. */
function besides(member: WeighedExplanation, { alike, concrete, walk }: Second): WeighedExplanation[] {
  const { ohms } = concrete.fault;
  return alike
    .filter((second) => member.faults.every(({ fault }) => fault.at !== second.concrete.fault.at))
    .map((second) => ({
      faults: [...member.faults, ohms === undefined ? second.concrete : { fault: { ...second.concrete.fault, ohms } }],
      alone: [...member.alone, walk],
      walk: member.walk,
      logLikelihood: member.logLikelihood,
      probability: member.probability * Math.exp(second.logPrior),
    }));
}

function normalised(groups: readonly ExplanationGroup[]): ExplanationGroup[] {
  const total = groups.reduce(
    (sum, { members }) => sum + members.reduce((part, { probability }) => part + probability, 0),
    0,
  );
  return groups
    .map(({ members }) => {
      const scaled = members.map((member) => ({ ...member, probability: member.probability / total }));
      return { members: scaled, probability: scaled.reduce((sum, { probability }) => sum + probability, 0) };
    })
    .sort((a, b) => b.probability - a.probability);
}

function keyOf(faults: WeighedExplanation["faults"]): string {
  return faults
    .map(({ fault }) => `${fault.kind}@${fault.at}`)
    .sort()
    .join(" ");
}
