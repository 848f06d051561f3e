import { canTellApart } from "./can-tell-apart.js";
import type { WeighedExplanation } from "./explain.js";
import type { PredictionBook } from "./simulation/prediction-book.js";

/** Explanations that no reading of this bench can tell apart. */
export interface ExplanationGroup {
  readonly members: readonly WeighedExplanation[];
  readonly probability: number;
}

/** Sorts explanations into groups around their likeliest members, by comparing what they predict; likeliest group first. */
export function groupExplanations(
  explanations: readonly WeighedExplanation[],
  book: PredictionBook,
): ExplanationGroup[] {
  const groups: { leader: WeighedExplanation; members: WeighedExplanation[] }[] = [];
  for (const explanation of explanations) {
    const home = groups.find(({ leader }) => !canTellApart(leader.walk, explanation.walk, book));
    if (home === undefined) groups.push({ leader: explanation, members: [explanation] });
    else home.members.push(explanation);
  }
  return groups
    .map(({ members }) => ({ members, probability: members.reduce((sum, { probability }) => sum + probability, 0) }))
    .sort((a, b) => b.probability - a.probability);
}
