import { expectedBits } from "./information.js";

/** Something a person can do, what could come of it, and what it costs. */
export interface CheckOption<C> {
  readonly check: C;
  /** Chance of each outcome under each candidate: `chances[candidate][outcome]`. */
  readonly chances: readonly (readonly number[])[];
  /** Minutes of a person's work, at least a fraction of one. */
  readonly effortMinutes: number;
}

export interface RankedCheck<C> extends CheckOption<C> {
  readonly bits: number;
}

/** What a check must be expected to bring before it is worth naming, bits. */
const worthwhileBits = 0.02;

/**
 * Orders checks by the information that they are expected to bring for their effort, best first; what brings next to
 * nothing is left out. Ties keep the order given.
 */
export function rankChecks<C>(probabilities: readonly number[], options: readonly CheckOption<C>[]): RankedCheck<C>[] {
  return options
    .map((option) => ({ ...option, bits: expectedBits(probabilities, option.chances) }))
    .filter((option) => option.bits >= worthwhileBits)
    .sort((a, b) => b.bits / b.effortMinutes - a.bits / a.effortMinutes);
}

/** Bayes' rule for an answered check: new probabilities, adding up to what they added up to before. */
export function weighByAnswer(
  probabilities: readonly number[],
  chances: readonly (readonly number[])[],
  outcome: number,
): number[] {
  const before = probabilities.reduce((sum, probability) => sum + probability, 0);
  const joint = probabilities.map((probability, index) => probability * (chances[index]?.[outcome] ?? 0));
  const after = joint.reduce((sum, weight) => sum + weight, 0);
  return after > 0 ? joint.map((weight) => (weight * before) / after) : [...probabilities];
}
