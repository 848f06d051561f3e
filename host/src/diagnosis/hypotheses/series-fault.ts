import type { ResistorPart } from "../../circuit/network.js";
import type { Fault } from "../../plan/fault.js";
import { openOhms } from "../../plan/fault-set.js";
import type { PredictedWalk } from "../simulation/predicted-walk.js";
import type { PredictionBook } from "../simulation/prediction-book.js";
import { estimateSize } from "./estimate-size.js";
import { faultOhms } from "./fault-priors.js";
import type { Bench, FaultWalk, FittedFault, Sizing } from "./hypothesis.js";
import { reachOf, scoreOrHopeless, sizedFault, sizeScore } from "./score-hypothesis.js";

/** Series resistances to try, ohms, from hardly anything to nearly open. */
const triedOhms = [0.35, 0.9, 2.2, 5.5, 16];

/** The part that stands for a series place. */
export function seriesPartId(at: string): string {
  return at.replace(/^pin:/, "contact:").replace(/^far:/, "far-contact:");
}

/** The resistor that stands for a series place; undefined where it is none (a lamp). */
export function seriesResistor({ at }: Fault, book: PredictionBook): ResistorPart | undefined {
  const part = book.healthyVehicle.parts.get(seriesPartId(at));
  return part?.kind === "resistor" ? part : undefined;
}

/** A resistor made larger by a fault: what it predicts, on the network that is tuned. */
export function walkWithOhms(
  fault: Fault,
  before: ResistorPart,
  extraOhms: number,
  book: PredictionBook,
  like?: PredictedWalk,
): FaultWalk {
  const ohms = before.ohms + extraOhms;
  const concrete = { fault };
  const change = { id: before.id, before, after: { ...before, ohms } };
  return { concrete, walk: book.tunedSingle(concrete, change, { partId: before.id, addedOhms: extraOhms }, like) };
}

/** No connection at a place that is a resistor. */
export function openSeries(fault: Fault, before: ResistorPart, bench: Bench): FittedFault {
  const { concrete, walk } = walkWithOhms(fault, before, openOhms, bench.book);
  return { concrete, walk, logLikelihood: scoreOrHopeless(walk, bench) };
}

/** A series resistance whose ohms the readings decide. */
export function seriesResistance(fault: Fault, before: ResistorPart, bench: Bench): FittedFault {
  const sizing = seriesSizing(fault, before, bench.book);
  const reach = reachOf(sizing.at(Math.max(...sizing.branches.flat())).walk, bench);
  const fit = estimateSize(sizing.prior, sizing.branches, reach.without, (size) => {
    const made = sizing.at(size);
    return { ...made, ...sizeScore(made.walk, reach, bench) };
  });
  return { ...sizedFault(fit, bench), sizing: { ...sizing, found: fit.size } };
}

/** How a series resistance is varied; each size starts from the last one's voltages. */
export function seriesSizing(fault: Fault, before: ResistorPart, book: PredictionBook): Sizing {
  let like: PredictedWalk | undefined;
  const at = (size: number): FaultWalk => {
    const ohms = sizeInOhms(size);
    const made = walkWithOhms({ ...fault, ohms }, before, ohms, book, like);
    like = made.walk;
    return made;
  };
  const mean = Math.log(faultOhms.median);
  return {
    prior: { mean, deviation: faultOhms.logDeviation },
    found: mean,
    branches: [triedOhms.map((ohms) => Math.log(ohms))],
    at,
    resistance: true,
  };
}

/** A size of a series resistance in ohms, to the three digits that are reported. */
function sizeInOhms(size: number): number {
  return Number(Math.exp(size).toPrecision(3));
}
