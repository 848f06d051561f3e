import type { WeighedExplanation } from "./explain.js";
import { explanationEvidence } from "./explanation-evidence.js";
import type { Findings } from "./findings.js";
import type { ExplanationGroup } from "./group-explanations.js";
import type { PredictionBook } from "./simulation/prediction-book.js";
import { groupText } from "./words/group-text.js";

/** Groups and explanations that the findings list; groups below this probability are left out. */
const leastProbability = 0.001;
const mostGroups = 8;

/**
 * What the list leaves out: faults of other kinds, three at once, and two that hide one another. Measured on made cases with
 * up to two faults, a group that was all but certain was right nineteen times in twenty, one without fault always. Where no
 * explanation accounts for the readings, those listed get half of the belief at most.
 */
const trustIn = { healthy: 0.995, faulty: 0.95, unaccounted: 0.5 } as const;

/** Groups and explanations in the words and figures of the findings. */
export function reportExplanations(
  groups: readonly ExplanationGroup[],
  book: PredictionBook,
  accounted: boolean,
): Pick<Findings, "explanations" | "groups"> {
  const healthyLeads = groups[0]?.members.some(({ faults }) => faults.length === 0) === true;
  const trust = accounted ? (healthyLeads ? trustIn.healthy : trustIn.faulty) : trustIn.unaccounted;
  const listed = groups
    .filter(({ probability }, at) => at === 0 || probability > leastProbability)
    .slice(0, mostGroups);
  return {
    explanations: listed.flatMap(({ members }, at) =>
      members.map((member, place) => ({
        faults: member.faults.map(({ fault, replacement }) => ({ ...fault, ...insteadOf(replacement, book) })),
        probability: round(member.probability * trust),
        group: at + 1,
        ...(place === 0 ? { evidence: explanationEvidence(member.walk, book) } : {}),
      })),
    ),
    groups: listed.map(({ members, probability }, at) => ({
      group: at + 1,
      probability: round(probability * trust),
      text: groupText(book.conditions.plan, minimalOf(members)),
      members: members.length,
    })),
  };
}

/** The fault sets of a group's text: those that hide a second fault say nothing new. */
function minimalOf(members: readonly WeighedExplanation[]): WeighedExplanation["faults"][] {
  const fewest = Math.min(...members.map(({ faults }) => faults.length));
  const simple = members.filter(({ faults }) => faults.length <= Math.max(1, fewest));
  return simple.map(({ faults }) => faults);
}

/** The library's bulb whose current comes closest to an estimated lamp. */
function insteadOf(
  replacement: WeighedExplanation["faults"][number]["replacement"],
  { conditions: { library, plan } }: PredictionBook,
): { instead?: string } {
  if (replacement?.kind !== "filament") return {};
  const { designAmps, designVolts } = replacement.model;
  const named = library.bulbs
    .filter(({ nominalVolts }) => nominalVolts === plan.nominalVolts)
    .flatMap((bulb) => [
      { name: bulb.id, ...bulb.bright },
      ...(bulb.dim === undefined ? [] : [{ name: `${bulb.id}.dim`, ...bulb.dim }]),
    ])
    // Compared at the estimated lamp's volts, by the rerating law of filaments.
    .map(({ name, volts, amps }) => ({
      name,
      off: Math.abs(Math.log((amps * (designVolts / volts) ** 0.55) / designAmps)),
    }));
  const closest = named.reduce((best, one) => (one.off < best.off ? one : best), {
    name: "",
    off: Number.POSITIVE_INFINITY,
  });
  return closest.name === "" ? {} : { instead: closest.name };
}

const round = (probability: number): number => Math.round(probability * 1e5) / 1e5;
