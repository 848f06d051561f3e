import type { Readings } from "../../readings/readings.js";
import type { WeighedExplanation } from "../explain.js";
import type { Findings } from "../findings.js";
import { type RankedCheck, rankChecks, weighByAnswer } from "../ranking/rank-checks.js";
import { drivenPins } from "../readings-fit-plan.js";
import type { OperatingPoint } from "../simulation/operating-point.js";
import type { PredictionBook } from "../simulation/prediction-book.js";
import type { CheckAnswer } from "./check-answer.js";
import type { Candidate, Check, CheckScene } from "./check-kind.js";
import { checkTable, kindOfCheck } from "./check-table.js";

/** Explanations that take part in the ranking, and checks that are named. */
const mostCandidates = 16;
const mostChecks = 5;

/** The next checks worth making, best first: information expected for the effort, over the likeliest explanations. */
export function proposeChecks(scene: CheckScene): Findings["nextChecks"] {
  const probabilities = scene.candidates.map(({ explanation }) => explanation.probability);
  const options = checkTable.flatMap((kind) =>
    kind.propose(scene).flatMap((check) => {
      const chances = chancesOf(check, scene);
      return chances === undefined ? [] : [{ check: { kind, check }, chances, effortMinutes: kind.effortMinutes }];
    }),
  );
  return withoutRepeats(rankChecks(probabilities, options))
    .slice(0, mostChecks)
    .map(({ check: { kind, check }, bits, chances, effortMinutes }) => ({
      check,
      bits: Math.round(bits * 1000) / 1000,
      text: kind.text(check, scene),
      minutes: effortMinutes,
      outcomes: kind
        .outcomes(check, scene)
        .map((outcome, at) => ({ ...outcome, chance: chanceOf(at, chances, probabilities) })),
    }));
}

/** Of checks that sort the explanations in the same way, the first: asking again brings nothing. */
function withoutRepeats<C>(checks: readonly RankedCheck<C>[]): RankedCheck<C>[] {
  const seen = new Set<string>();
  return checks.filter(({ chances }) => {
    const likeliest = chances.map((row) => row.indexOf(Math.max(...row)));
    const names = new Map<number, number>();
    const sorting = likeliest.map((outcome) => {
      if (!names.has(outcome)) names.set(outcome, names.size);
      return names.get(outcome);
    });
    const key = sorting.join(" ");
    if (seen.has(key)) return false;
    seen.add(key);
    return true;
  });
}

/** The explanations with their probabilities after the answers, best first. Answers that no kind of check knows throw. */
export function applyAnswers(
  explanations: readonly WeighedExplanation[],
  answers: readonly CheckAnswer[],
  sceneOf: (explanations: readonly WeighedExplanation[]) => CheckScene,
): WeighedExplanation[] {
  let weighed = [...explanations];
  for (const { check, answer } of answers) {
    const scene = sceneOf(weighed);
    const kind = kindOfCheck(check);
    const outcome = kind?.outcomes(check, scene).findIndex((one) => one.answer === answer) ?? -1;
    const chances = outcome < 0 ? undefined : chancesOf(check, scene);
    if (chances === undefined) {
      throw new RangeError(`"${answer}" is no answer to the check ${JSON.stringify(check)}`);
    }
    const before = weighed.map(({ probability }) => probability);
    const after = weighByAnswer(before, chances, outcome);
    weighed = weighed.map((explanation, at) => ({ ...explanation, probability: after[at] ?? 0 }));
  }
  return weighed.sort((a, b) => b.probability - a.probability);
}

/** The scene of the likeliest explanations, as vehicles that are built when first asked. */
export function sceneFor(
  explanations: readonly WeighedExplanation[],
  book: PredictionBook,
  readings: Readings,
  most = mostCandidates,
): CheckScene {
  const tripped = (readings.drives ?? []).filter((drive) => drive.tripped === true).map(({ pin }) => pin);
  const live = Object.entries(readings.rest ?? {}).flatMap(([pin, volts]) => (volts > 1 ? [pin] : []));
  return {
    conditions: book.conditions,
    candidates: explanations.slice(0, most).map((explanation) => candidateOf(explanation, book)),
    drivablePins: drivenPins(book.conditions.plan).filter((pin) => !tripped.includes(pin) && !live.includes(pin)),
    seenPins: (readings.seen ?? []).map(({ pin }) => pin),
    backFed: (readings.backFeed ?? []).flatMap(({ vehicle }) => vehicle),
  };
}

function candidateOf(explanation: WeighedExplanation, book: PredictionBook): Candidate {
  const vehicle = book.vehicleWith(explanation.faults);
  const points = new Map<string, OperatingPoint | undefined>();
  return {
    explanation,
    vehicle,
    driven: (pin) => {
      if (!points.has(pin)) {
        const point = vehicle.feed({ kind: "drive", pin });
        points.set(pin, vehicle.bench.sourceAmps() > book.conditions.source.tripAmps ? undefined : point);
      }
      return points.get(pin);
    },
  };
}

/** Chances under every candidate; a candidate that cannot say spreads its chance evenly. */
function chancesOf(check: Check, scene: CheckScene): number[][] | undefined {
  const kind = kindOfCheck(check);
  if (kind === undefined) return undefined;
  const count = kind.outcomes(check, scene).length;
  if (count === 0) return undefined;
  return scene.candidates.map(
    (candidate) => kind.chances(check, candidate, scene) ?? Array.from({ length: count }, () => 1 / count),
  );
}

function chanceOf(outcome: number, chances: readonly (readonly number[])[], probabilities: readonly number[]): number {
  const total = probabilities.reduce((sum, probability) => sum + probability, 0);
  const joint = probabilities.reduce((sum, probability, at) => sum + probability * (chances[at]?.[outcome] ?? 0), 0);
  return Math.round((joint / total) * 1000) / 1000;
}
