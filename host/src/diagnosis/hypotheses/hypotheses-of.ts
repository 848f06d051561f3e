import type { Fault } from "../../plan/fault.js";
import { openOhms } from "../../plan/fault-set.js";
import { PredictedWalk } from "../simulation/predicted-walk.js";
import type { PredictionBook } from "../simulation/prediction-book.js";
import { faultPrior } from "./fault-priors.js";
import type { Bench, FittedFault, Hypothesis } from "./hypothesis.js";
import { otherLamp } from "./other-lamp.js";
import { scoreOrHopeless } from "./score-hypothesis.js";
import {
  openSeries,
  seriesPartId,
  seriesResistance,
  seriesResistor,
  seriesSizing,
  walkWithOhms,
} from "./series-fault.js";

/** Builds the hypothesis of every fault; those that lie in series and do the same share one prediction. */
export function hypothesesOf(faults: readonly Fault[], bench: Bench): Hypothesis[] {
  const known = new Map<string, Hypothesis>();
  return faults.map((fault) => {
    const series = fault.kind === "open" || fault.kind === "high-resistance";
    const key = series ? bench.book.seriesKey(seriesPartId(fault.at)) : undefined;
    const twin = key === undefined ? undefined : known.get(`${fault.kind} ${key}`);
    if (twin !== undefined) return likeTwin(fault, twin, bench.book);
    const made = { logPrior: logPriorOf(fault, bench.book), ...fitted(fault, bench) };
    if (key !== undefined) known.set(`${fault.kind} ${key}`, made);
    return made;
  });
}

function logPriorOf(fault: Fault, book: PredictionBook): number {
  const chance = faultPrior(fault.kind, fault.at, book.healthyVehicle.built.groundPin);
  return Math.log(chance / (1 - chance));
}

function fitted(fault: Fault, bench: Bench): FittedFault {
  const resistor = seriesResistor(fault, bench.book);
  if (fault.kind === "open" && resistor !== undefined) return openSeries(fault, resistor, bench);
  if (fault.kind === "high-resistance" && resistor !== undefined) return seriesResistance(fault, resistor, bench);
  return (fault.kind === "wrong-lamp" ? otherLamp(fault, bench) : undefined) ?? unsized(fault, bench);
}

/** A fault that comes in one size, in a network of its own. */
function unsized(fault: Fault, bench: Bench): FittedFault {
  const concrete = { fault };
  const walk = bench.book.single(concrete);
  const logLikelihood = scoreOrHopeless(walk, bench);
  if (!Number.isFinite(logLikelihood)) walk.lazy.release();
  return { concrete, walk, logLikelihood };
}

/** The same readings by another place in the same series. */
function likeTwin(fault: Fault, twin: Hypothesis, book: PredictionBook): Hypothesis {
  const logPrior = logPriorOf(fault, book);
  const resistor = seriesResistor(fault, book);
  const { ohms } = twin.concrete.fault;
  const concrete = { fault: ohms === undefined ? fault : { ...fault, ohms } };
  const own =
    resistor === undefined
      ? book.single(concrete)
      : walkWithOhms(concrete.fault, resistor, ohms ?? openOhms, book).walk;
  const walk = new PredictedWalk([concrete], own.changes, twin.walk.lazy, own.tuning, own.lazy);
  if (twin.sizing === undefined || resistor === undefined)
    return { concrete, walk, logPrior, logLikelihood: twin.logLikelihood };
  const sizing = { ...seriesSizing(fault, resistor, book), found: twin.sizing.found };
  return { concrete, walk, logPrior, logLikelihood: twin.logLikelihood, sizing };
}
