import { defaultLibrary, type PartsLibrary } from "../plan/parts/parts-library.js";
import type { Plan } from "../plan/plan-schema.js";
import type { Readings } from "../readings/readings.js";
import { explain } from "./explain.js";
import { explainedCircuits } from "./explained-circuits.js";
import { faintFaults } from "./faint-faults.js";
import type { CircuitFinding, Findings } from "./findings.js";
import { accountsForReadings } from "./fit-quality.js";
import { gatherEvidence } from "./gather-evidence.js";
import { groupExplanations } from "./group-explanations.js";
import { healthyCircuits } from "./healthy-circuits.js";
import { withHiddenFaults } from "./hidden-faults.js";
import { judgeCircuits } from "./judge-circuits.js";
import { readingBlocks } from "./likelihood/reading-blocks.js";
import type { CheckAnswer } from "./next-checks/check-answer.js";
import { applyAnswers, proposeChecks, sceneFor } from "./next-checks/propose-checks.js";
import { notJudged } from "./not-judged.js";
import { readingsFitPlan } from "./readings-fit-plan.js";
import { reportExplanations } from "./report-explanations.js";
import { FaultedVehicle } from "./simulation/faulted-vehicle.js";
import { PredictionBook } from "./simulation/prediction-book.js";
import { scatterModel } from "./simulation/scatter-model.js";

export interface DiagnoseOptions {
  /** Checks that a person has made since, with what came of them. */
  readonly answers?: readonly CheckAnswer[];
  /** 1 leaves out pairs of faults: faster. Default 2. */
  readonly mostFaults?: 1 | 2;
  /** The parts that the plan names; the built-in tables if absent. */
  readonly library?: PartsLibrary;
}

/** Pairs of faults that are solved at most: some hundreds take about a second on a slow core. */
const mostPairs = 200;

/**
 * What plan and readings together mean. Pure: no clock, no chance, and the order of sections, pins and circuits does not
 * matter. Readings of another plan are never judged: every circuit is then not-judged and the finding says why.
 * Throws RangeError for an answer that its check does not have.
 */
export function diagnose(plan: Plan, readings: Readings, options: DiagnoseOptions = {}): Findings {
  const ambientC = readings.ambientC ?? 20;
  const conditions = { plan, source: readings.source, ambientC, library: options.library ?? defaultLibrary };
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
  const book = new PredictionBook(conditions, readingBlocks(readings), scatter, healthy);
  const { mostFaults = 2 } = options;
  const explained = explain(book, { mostFaults, mostPairs });
  const answered = applyAnswers(explained.explanations, options.answers ?? [], (weighed) =>
    sceneFor(weighed, book, readings, weighed.length),
  );
  const minimal = groupExplanations(answered, book);
  const best = minimal[0]?.members[0];
  const accounted = best !== undefined && accountsForReadings(best.walk, book);
  const judged = explainedCircuits(judgeCircuits(walk), accounted ? best : undefined, book);
  const open = notJudged(plan, walk);
  if (!accounted) open.push({ what: "explanations", why: tooMuchWrong });
  else if (judged.every(({ verdict }) => verdict === "pass")) open.push(...faintFaults(plan, minimal));
  return {
    format: "pinwalk-findings/1",
    overall: overallOf(judged, open.length),
    circuits: judged,
    ...reportExplanations(mostFaults > 1 ? withHiddenFaults(minimal, explained, book) : minimal, book, accounted),
    nextChecks: proposeChecks(sceneFor(answered, book, readings)),
    notJudged: open,
  };
}

const tooMuchWrong =
  "No single fault and no two together account for these readings: more than two things are wrong here, or one that is not on the list. Mend what the circuits show first, then walk again.";

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
