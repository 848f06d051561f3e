import type { FilamentPart, Part } from "../../circuit/network.js";
import type { Fault } from "../../plan/fault.js";
import type { PredictionBook } from "../simulation/prediction-book.js";
import { estimateSize } from "./estimate-size.js";
import { wrongLampAmps } from "./fault-priors.js";
import type { Bench, FaultWalk, FittedFault } from "./hypothesis.js";
import { reachOf, sizedFault, sizeScore } from "./score-hypothesis.js";

/** Currents of a wrong lamp to try, against the planned one: from nearly right to far off, weaker and stronger. */
const triedShares = [
  [0.7, 0.35, 0.12],
  [1.4, 2.8, 7],
];
/** A lamp as strong as this shows which readings a wrong lamp reaches. */
const reachShare = 2.8;
/** A bulb within this of the planned one is not a wrong one, deviation of the logarithm. */
const sameLamp = 0.12;

/** A bulb of another current than the planned lamp's; undefined where no bulb fits in. */
export function otherLamp(fault: Fault, bench: Bench): FittedFault | undefined {
  const { book } = bench;
  const planned = book.healthyVehicle.parts.get(fault.at);
  const nodes = planned === undefined ? undefined : lampNodes(planned);
  if (planned === undefined || nodes === undefined) return undefined;
  const { ambientC, plan } = book.conditions;
  const filament = planned.kind === "filament" ? planned : undefined;
  const designVolts = filament?.model.designVolts ?? (12.8 * plan.nominalVolts) / 12;
  const at = (size: number): FaultWalk => {
    const model = { designVolts, designAmps: Math.exp(size) };
    const replacement: FilamentPart = { kind: "filament", id: fault.at, ...nodes, model, celsius: ambientC };
    return filament === undefined ? built(fault, replacement, book) : scaled(fault, filament, replacement, book);
  };
  const prior = { mean: Math.log(wrongLampAmps.median), deviation: wrongLampAmps.logDeviation };
  const centre = filament?.model.designAmps ?? wrongLampAmps.median;
  const branches = triedShares.map((shares) => shares.map((share) => Math.log(centre * share)));
  const reach = reachOf(at(Math.log(centre * reachShare)).walk, bench);
  const fit = estimateSize(prior, branches, reach.without, (size) => {
    const made = at(size);
    const score = sizeScore(made.walk, reach, bench);
    const same = filament === undefined ? 0 : Math.exp(-0.5 * ((size - Math.log(centre)) / sameLamp) ** 2);
    return { ...made, ...score, logLikelihood: score.logLikelihood + Math.log(1.0001 - same) };
  });
  return { ...sizedFault(fit, bench), sizing: { prior, branches, found: fit.size, at } };
}

/** A bulb where the plan has none: its network has to be built. */
function built(fault: Fault, replacement: FilamentPart, book: PredictionBook): FaultWalk {
  const concrete = { fault, replacement };
  return { concrete, walk: book.single(concrete) };
}

/** A bulb for a bulb: the planned filament, drawing more or less. */
function scaled(fault: Fault, planned: FilamentPart, replacement: FilamentPart, book: PredictionBook): FaultWalk {
  const concrete = { fault, replacement };
  const scale = replacement.model.designAmps / planned.model.designAmps;
  const change = { id: planned.id, before: planned, after: replacement };
  return { concrete, walk: book.tunedSingle(concrete, change, { partId: planned.id, scale }) };
}

function lampNodes(part: Part): { a: string; b: string } | undefined {
  if (part.kind === "filament" || part.kind === "resistor") return { a: part.a, b: part.b };
  if (part.kind === "led") return { a: part.anode, b: part.cathode };
  return undefined;
}
