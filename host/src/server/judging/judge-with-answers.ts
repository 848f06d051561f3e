import { diagnose } from "../../diagnosis/diagnose.js";
import type { Findings } from "../../diagnosis/findings.js";
import type { Plan } from "../../plan/plan-schema.js";
import type { Readings } from "../../readings/readings.js";
import type { GivenAnswer } from "../next-check/next-check-contract.js";

export interface JudgedWithAnswers {
  readonly findings: Findings;
  /** For each answer whether it counts: later readings may have settled what it was about. */
  readonly counts: readonly boolean[];
}

/** Judges readings with what a person answered. An answer whose check does not exist any more is left aside, never thrown. */
export function judgeWithAnswers(plan: Plan, readings: Readings, answers: readonly GivenAnswer[]): JudgedWithAnswers {
  const counted: { readonly given: GivenAnswer; readonly index: number }[] = [];
  let findings: Findings | undefined;
  try {
    findings = diagnose(plan, readings, { answers });
    return { findings, counts: answers.map(() => true) };
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
  }
  findings = diagnose(plan, readings);
  for (const [index, given] of answers.entries()) {
    try {
      findings = diagnose(plan, readings, { answers: [...counted.map((one) => one.given), given] });
      counted.push({ given, index });
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
    }
  }
  return { findings, counts: answers.map((_, index) => counted.some((one) => one.index === index)) };
}
