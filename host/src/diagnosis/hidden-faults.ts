import { canTellApart } from "./can-tell-apart.js";
import type { Explained, WeighedExplanation } from "./explain.js";
import type { ExplanationGroup } from "./group-explanations.js";
import type { Hypothesis } from "./hypotheses/hypothesis.js";
import { wouldMove } from "./simulation/fault-action.js";
import type { PredictedWalk } from "./simulation/predicted-walk.js";
import type { PredictionBook } from "./simulation/prediction-book.js";

/** Groups whose explanations are looked behind, and second faults that one explanation may hide in the list. */
const mostGroups = 3;
const mostHidden = 40;

/**
 * A dead lamp behind a lost ground moves no reading: beside every single-fault explanation stand those of it and a second
 * fault that it hides. They join its group with what their priors leave them.
 */
export function withHiddenFaults(
  groups: readonly ExplanationGroup[],
  { hypotheses }: Explained,
  book: PredictionBook,
): ExplanationGroup[] {
  const silent = new Set(hypotheses.filter(({ walk }) => !canTellApart(book.healthy, walk, book)));
  const widened = groups.map((group, at) => {
    if (at >= mostGroups || group.members.some(({ faults }) => faults.length === 0)) return group;
    const known = new Set(group.members.filter(({ faults }) => faults.length > 1).map(({ faults }) => keyOf(faults)));
    const hidden = group.members.flatMap((member) => behind(member, hypotheses, silent));
    return { ...group, members: [...group.members, ...hidden.filter(({ faults }) => !known.has(keyOf(faults)))] };
  });
  return normalised(widened);
}

function behind(
  member: WeighedExplanation,
  hypotheses: readonly Hypothesis[],
  silent: ReadonlySet<Hypothesis>,
): WeighedExplanation[] {
  const [fault] = member.faults;
  const [alone] = member.alone;
  if (member.faults.length !== 1 || fault === undefined || alone === undefined) return [];
  return hypotheses
    .filter((second) => second.concrete.fault.at !== fault.fault.at)
    .filter((second) => silent.has(second) || !movesAny(second.walk, alone))
    .sort((a, b) => b.logPrior - a.logPrior)
    .slice(0, mostHidden)
    .map((second) => ({
      faults: [fault, second.concrete],
      alone: [alone, second.walk],
      walk: member.walk,
      logLikelihood: member.logLikelihood,
      probability: member.probability * Math.exp(second.logPrior),
    }));
}

function movesAny(second: PredictedWalk, first: PredictedWalk): boolean {
  return first.predictions.some(({ point, block }) =>
    wouldMove(second.changes, point, block.feeding.kind === "inrush"),
  );
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
