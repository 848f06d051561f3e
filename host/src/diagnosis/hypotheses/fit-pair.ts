import type { FaultedVehicle } from "../simulation/faulted-vehicle.js";
import type { PredictedWalk } from "../simulation/predicted-walk.js";
import { estimateSize } from "./estimate-size.js";
import type { Bench, Hypothesis, Sizing } from "./hypothesis.js";
import { guidedScore, scoreOf } from "./score-hypothesis.js";
import { sizeInOhms } from "./series-fault.js";

/** Two faults together, their sizes fitted in each other's presence. */
export interface PairFit {
  readonly walk: PredictedWalk;
  readonly logLikelihood: number;
}

/**
 * Predicts and scores two faults together. A size that was found for a fault alone holds where the two move different
 * readings; where they meet, it is found again. Undefined when the pair contradicts the readings.
 */
export function fitPair(first: Hypothesis, second: Hypothesis, bench: Bench): PairFit | undefined {
  const { book, scores } = bench;
  const meeting = scores.meet(first.walk, second.walk);
  if (meeting && second.sizing !== undefined) return fitSizeBeside(first, second, bench);
  if (meeting && first.sizing !== undefined) {
    const fit = fitSizeBeside(second, first, bench);
    return fit && { ...fit, walk: book.turned(fit.walk) };
  }
  const walk = book.pair(first.walk, second.walk);
  if (scores.isHopeless(walk)) return undefined;
  return { walk, logLikelihood: scoreOf(walk, book) + sizeCost(first, bench) + sizeCost(second, bench) };
}

/** What integrating over its size cost a single fault, against its best size: the same share is charged in a pair. */
function sizeCost(hypothesis: Hypothesis, { book }: Bench): number {
  if (hypothesis.sizing === undefined || !Number.isFinite(hypothesis.logLikelihood)) return 0;
  return Math.min(0, hypothesis.logLikelihood - scoreOf(hypothesis.walk, book));
}

/** Sizes to try beside another fault, as shares of what was found for the fault alone. */
const triedShares = [0.5, 0.8, 1, 1.25, 2];

function fitSizeBeside(fixed: Hypothesis, sized: Hypothesis, bench: Bench): PairFit | undefined {
  const { book } = bench;
  const { sizing } = sized;
  if (sizing === undefined) return undefined;
  const near = triedShares.map((share) => sizing.found + Math.log(share));
  const far = sizing.branches.flat().filter((size) => size < Math.min(...near) || size > Math.max(...near));
  const tried = [...near, ...far].sort((a, b) => a - b);
  const blocks = [...book.blocks.keys()].filter((block) => fixed.walk.movedAt(block) || sized.walk.movedAt(block));
  const scoreAt = (walk: PredictedWalk): { logLikelihood: number; guide: number } =>
    guidedScore(
      blocks.map((block) => walk.at(block)),
      book,
    );
  const vehicle = sizing.resistor && book.vehicleWith([fixed.concrete, sized.concrete]);
  const fit = estimateSize(sizing.prior, [tried], scoreAt(fixed.walk).guide, (size) => {
    const made = sizing.at(size);
    const walk = book.pair(fixed.walk, made.walk, vehicle && (() => withOhms(vehicle, sizing, size)));
    return { walk, ...scoreAt(walk), hopeless: false, declines: false };
  });
  const rest = scoreOf(fit.result.walk, book) - fit.result.logLikelihood;
  return { walk: fit.result.walk, logLikelihood: fit.logEvidence + rest + sizeCost(fixed, bench) };
}

/** The shared vehicle, its resistance at one of the sizes tried. */
function withOhms(vehicle: FaultedVehicle, { resistor }: Sizing, size: number): FaultedVehicle {
  if (resistor !== undefined) vehicle.setOhms(resistor.partId, resistor.soundOhms + sizeInOhms(size));
  return vehicle;
}
