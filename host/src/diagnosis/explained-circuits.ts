import type { WeighedExplanation } from "./explain.js";
import type { CircuitFinding } from "./findings.js";
import type { PredictionBook } from "./simulation/prediction-book.js";
import { verdictByExplanation } from "./verdicts/verdict-by-explanation.js";
import { faultPhrase } from "./words/fault-phrase.js";

/** Verdicts that say how much flows, not why: an explanation may say it better. */
const vague = ["low-current", "high-current"];

/**
 * Verdicts of direct evidence, brought into line with the likeliest explanation. `explanation` is undefined where no
 * explanation accounts for the readings: then the direct evidence stands alone.
 */
export function explainedCircuits(
  direct: readonly CircuitFinding[],
  explanation: WeighedExplanation | undefined,
  book: PredictionBook,
): CircuitFinding[] {
  if (explanation === undefined) return [...direct];
  return direct.map((circuit) => {
    const found = verdictByExplanation(explanation, circuit.pin, book);
    const fault = found === undefined ? undefined : explanation.faults[found.fault]?.fault;
    if (found === undefined || fault === undefined) return untouched(circuit);
    const blame = `Likeliest: ${faultPhrase(book.conditions.plan, fault)}.`;
    const silent = circuit.verdict === "pass" || circuit.verdict === "not-judged";
    if (silent) return { ...circuit, verdict: found.verdict, reason: `${ownWords(circuit)} ${blame}` };
    const verdict = vague.includes(circuit.verdict) ? found.verdict : circuit.verdict;
    return { ...circuit, verdict, reason: `${circuit.reason} ${blame}` };
  });
}

/** A circuit that the explanation leaves alone: what little speaks against it is scatter, if all that speaks is an amount. */
function untouched(circuit: CircuitFinding): CircuitFinding {
  if (!vague.includes(circuit.verdict)) return circuit;
  return {
    ...circuit,
    verdict: "pass",
    reason: `${circuit.reason} All readings together leave that to the scatter of sound parts.`,
  };
}

/** For a circuit whose current lies in its band although a fault touches it. */
function ownWords({ verdict, measured, reason }: CircuitFinding): string {
  if (verdict === "not-judged" || measured?.amps === undefined) return reason;
  return `${measured.amps.toFixed(2)} A alone would pass, but all readings together do not fit a healthy circuit.`;
}
