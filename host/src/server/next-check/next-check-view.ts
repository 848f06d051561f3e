import type { Findings } from "../../diagnosis/findings.js";
import type { GivenAnswer, NextCheckView } from "./next-check-contract.js";

/** From this share of the listed groups on, the first is called the one: what is left would be told apart by mending. */
const oneShare = 0.95;

/** How the dialogue about next checks stands, from what was answered, what the findings make of it and which pins may be kept driven. */
export function nextCheckView(
  findings: Findings | undefined,
  answers: readonly GivenAnswer[],
  counts: readonly boolean[],
  keepable: readonly string[],
): NextCheckView {
  const history = answers.map(({ question, words, answeredAt }, index) => ({
    question,
    words,
    answeredAt,
    counts: counts[index] ?? true,
  }));
  const toDrive = (findings?.nextChecks ?? []).flatMap(({ check }) => {
    // As the kinds of checks name the pin that is driven while, or for, a look, touch or measurement.
    const pin = check.while ?? check.drive;
    return pin !== undefined && keepable.includes(pin) ? [{ check, pin }] : [];
  });
  return { history, toDrive, end: endOf(findings, answers.length > 0) };
}

function endOf(findings: Findings | undefined, answered: boolean): NextCheckView["end"] {
  if (!findings) return null;
  const { groups, nextChecks } = findings;
  const [first] = [...groups].sort((one, other) => other.probability - one.probability);
  if (first === undefined) return null;
  const share = first.probability / groups.reduce((sum, { probability }) => sum + probability, 0);
  if (share >= oneShare) {
    if (!answered && findings.overall !== "fail") return null;
    return { kind: nextChecks.length > 0 ? "narrowing" : "one-group", text: first.text };
  }
  if (nextChecks.length > 0) return { kind: "asking" };
  const text = `${groups.length} groups of explanations are left, and no look, touch or measurement that the program knows would tell them apart. Mend the likeliest, ${first.text}, and walk again.`;
  return { kind: "cannot-tell", text };
}
