import { defaultLibrary } from "../plan/parts/parts-library.js";
import type { Plan } from "../plan/plan-schema.js";
import type { Readings } from "../readings/readings.js";
import type { CircuitFinding, Findings } from "./findings.js";
import { gatherEvidence } from "./gather-evidence.js";
import { healthyCircuits } from "./healthy-circuits.js";
import { judgeCircuits } from "./judge-circuits.js";
import { notJudged } from "./not-judged.js";
import { readingsFitPlan } from "./readings-fit-plan.js";
import { FaultedVehicle } from "./simulation/faulted-vehicle.js";
import { scatterModel } from "./simulation/scatter-model.js";

/**
 * What plan and readings together mean. Pure: no clock, no chance, no order of sections matters. Readings of another
 * plan are never judged: every circuit is then not-judged and the finding says why.
 */
export function diagnose(plan: Plan, readings: Readings): Findings {
  const ambientC = readings.ambientC ?? 20;
  const conditions = { plan, source: readings.source, ambientC, library: defaultLibrary };
  const healthy = new FaultedVehicle(conditions, []);
  const scatter = scatterModel(healthy.built, readings, ambientC);
  const circuits = healthyCircuits(healthy, scatter, readings);
  const fit = readingsFitPlan(plan, readings);
  if (!fit.ok) {
    const why = fit.problems.map(({ message }) => message).join(" ");
    const blank = circuits.map(
      ({ pin, function: does }): CircuitFinding => ({ pin, function: does, verdict: "not-judged", reason: why }),
    );
    return { ...nothingFound, overall: "unsure", circuits: blank, notJudged: [{ what: "readings", why }] };
  }
  const walk = gatherEvidence(circuits, readings);
  const judged = judgeCircuits(walk);
  const open = notJudged(plan, walk);
  return { ...nothingFound, overall: overallOf(judged, open.length), circuits: judged, notJudged: open };
}

const nothingFound = {
  format: "pinwalk-findings/1" as const,
  explanations: [],
  groups: [],
  nextChecks: [],
};

function overallOf(circuits: readonly CircuitFinding[], openQuestions: number): Findings["overall"] {
  if (circuits.some(({ verdict }) => verdict !== "pass" && verdict !== "not-judged")) return "fail";
  return openQuestions > 0 || circuits.some(({ verdict }) => verdict === "not-judged") ? "unsure" : "pass";
}
