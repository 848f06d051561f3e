import type { Part } from "../../circuit/network.js";
import type { Fault } from "../../plan/fault.js";
import { type BlockScores, hopelessDeficit } from "../likelihood/block-scores.js";
import { noiseLaws } from "../likelihood/robust-loss.js";
import { scoreWalk } from "../likelihood/score-walk.js";
import type { BlockPrediction } from "../simulation/predict-block.js";
import { PredictedWalk } from "../simulation/predicted-walk.js";
import type { PredictionBook } from "../simulation/prediction-book.js";
import type { ConcreteFault } from "./concrete-fault.js";
import { estimateSize, type SizedFit, type SizePrior, type SizeScore } from "./estimate-size.js";
import { faultOhms, faultPrior, wrongLampAmps } from "./fault-priors.js";

/** One possible fault with its size estimated, what it predicts and how well that fits. */
export interface Hypothesis {
  readonly concrete: ConcreteFault;
  /** For a fault with a size: the same fault at another one. */
  readonly sizing?: Sizing;
  readonly walk: PredictedWalk;
  readonly logPrior: number;
  /** Log likelihood of all readings, scatter and size integrated out. */
  readonly logLikelihood: number;
}

/** How a fault's size is varied. */
export interface Sizing {
  readonly prior: SizePrior;
  /** The size that was found for the fault alone. */
  readonly found: number;
  readonly branches: readonly (readonly number[])[];
  readonly at: (size: number) => { concrete: ConcreteFault; walk: PredictedWalk };
  /** Where the size is the resistance of one part: that part, and its ohms without the fault. */
  readonly resistor?: { readonly partId: string; readonly soundOhms: number };
}

/** What hypotheses are built with. */
export interface Bench {
  readonly book: PredictionBook;
  readonly scores: BlockScores;
}

/** Builds the hypothesis of every fault; those that lie in series and do the same share one prediction. */
export function hypothesesOf(faults: readonly Fault[], bench: Bench): Hypothesis[] {
  const known = new Map<string, Hypothesis>();
  return faults.map((fault) => {
    const series = fault.kind === "open" || fault.kind === "high-resistance";
    const key = series ? bench.book.seriesKey(partOf(fault.at)) : undefined;
    const twin = key === undefined ? undefined : known.get(`${fault.kind} ${key}`);
    if (twin !== undefined) return likeTwin(fault, twin, bench);
    const made = { logPrior: logPriorOf(fault, bench.book), ...hypothesisOf(fault, bench) };
    if (key !== undefined) known.set(`${fault.kind} ${key}`, made);
    return made;
  });
}

/** The part that stands for a series place. */
function partOf(at: string): string {
  return at.replace(/^pin:/, "contact:").replace(/^far:/, "far-contact:");
}

/** The same readings by another place in the same series. */
function likeTwin(fault: Fault, twin: Hypothesis, { book }: Bench): Hypothesis {
  const { ohms } = twin.concrete.fault;
  const concrete: ConcreteFault = { fault: ohms === undefined ? fault : { ...fault, ohms } };
  const changes = book.changesOf(book.vehicleWith([concrete]));
  const walk = new PredictedWalk([concrete], changes, twin.walk.lazy);
  const at = (size: number): Pick<Sized, "concrete" | "walk"> => {
    const resized = { fault: { ...fault, ohms: sizeInOhms(size) } };
    return { concrete: resized, walk: book.single(resized) };
  };
  const sizing = twin.sizing === undefined ? {} : { sizing: { ...twin.sizing, at, ...resistorOf(fault, book) } };
  return { ...twin, ...sizing, concrete, walk, logPrior: logPriorOf(fault, book) };
}

/** The resistor that a series fault makes larger. */
function resistorOf({ at }: Fault, book: PredictionBook): Pick<Sizing, "resistor"> {
  const part = book.healthyVehicle.parts.get(partOf(at));
  return part?.kind === "resistor" ? { resistor: { partId: part.id, soundOhms: part.ohms } } : {};
}

/** A size of a series resistance in ohms, to the three digits that are reported. */
export function sizeInOhms(size: number): number {
  return Number(Math.exp(size).toPrecision(3));
}

function logPriorOf(fault: Fault, book: PredictionBook): number {
  const chance = faultPrior(fault.kind, fault.at, book.healthyVehicle.built.groundPin);
  return Math.log(chance / (1 - chance));
}

type Sized = Pick<Hypothesis, "concrete" | "walk" | "logLikelihood" | "sizing">;

function hypothesisOf(fault: Fault, bench: Bench): Sized {
  if (fault.kind === "high-resistance") return seriesResistance(fault, bench);
  if (fault.kind === "wrong-lamp") return otherLamp(fault, bench);
  return fixed({ fault }, bench);
}

/** A fault that comes in one size. */
function fixed(concrete: ConcreteFault, bench: Bench): Sized {
  const walk = bench.book.single(concrete);
  return { concrete, walk, logLikelihood: scoreOrHopeless(walk, bench) };
}

/** Log likelihood of all readings, or minus infinity as soon as they contradict what the fault moves. */
function scoreOrHopeless(walk: PredictedWalk, { book, scores }: Bench): number {
  return scores.isHopeless(walk) ? Number.NEGATIVE_INFINITY : scoreOf(walk, book);
}

/** Log likelihood of all readings under a prediction. */
export function scoreOf(walk: PredictedWalk, book: PredictionBook): number {
  return scoreWalk(walk.predictions, book.scatter.count, book.conditions.source.tripAmps).logLikelihood;
}

/** The readings that the fault moves, by themselves: enough to find its size. */
function sizeScore(walk: PredictedWalk, reach: Reach, { book, scores }: Bench): SizeScore {
  const { blocks, without } = reach;
  // Where no fault at all fits well, a worse fit at one size says that a stronger one fits worse still.
  const declines = scores.healthyFits(walk);
  if (declines && scores.isHopeless(walk)) {
    return { logLikelihood: without - hopelessDeficit, guide: without - hopelessDeficit, hopeless: true, declines };
  }
  const predictions = blocks.map((block) => walk.at(block));
  return { ...guidedScore(predictions, book), hopeless: false, declines };
}

/** Log likelihood of some blocks, and the same by the guide. */
export function guidedScore(
  predictions: readonly BlockPrediction[],
  { scatter: { count }, conditions }: PredictionBook,
): { logLikelihood: number; guide: number } {
  const { tripAmps } = conditions.source;
  const { logLikelihood } = scoreWalk(predictions, count, tripAmps);
  return { logLikelihood, guide: scoreWalk(predictions, count, tripAmps, noiseLaws.guiding).logLikelihood };
}

/** All readings at the best size, less what integrating over the size costs. */
function sized(fit: SizedFit<Sized & SizeScore>, { book }: Bench): Sized {
  const { concrete, walk, logLikelihood, hopeless } = fit.result;
  if (hopeless) return { concrete, walk, logLikelihood: Number.NEGATIVE_INFINITY };
  return { concrete, walk, logLikelihood: scoreOf(walk, book) + fit.logEvidence - logLikelihood };
}

/** The blocks by which sizes are compared, always the same ones, and how well they fit if nothing is wrong. */
interface Reach {
  readonly blocks: readonly number[];
  readonly without: number;
}

/** What a fault reaches at its strongest. */
function reachOf(strongest: PredictedWalk, { book, scores }: Bench): Reach {
  const blocks = [...book.blocks.keys()].filter((block) => scores.movesMuch(strongest, block));
  const healthy = blocks.map((block) => book.healthyAt(block));
  return { blocks, without: guidedScore(healthy, book).guide };
}

/** Series resistances to try, ohms, from hardly anything to nearly open. */
const triedOhms = [0.35, 0.9, 2.2, 5.5, 16];

function seriesResistance(fault: Fault, bench: Bench): Sized {
  const { book } = bench;
  const vehicle = book.vehicleWith([{ fault: { ...fault, ohms: faultOhms.median } }]);
  const changed = [...vehicle.parts.values()].find((part) => isResized(part, book.healthyVehicle.parts.get(part.id)));
  const before = changed === undefined ? undefined : book.healthyVehicle.parts.get(changed.id);
  if (changed === undefined || before?.kind !== "resistor") return fixed({ fault }, bench);
  let like: PredictedWalk | undefined;
  const walkAt = (size: number): Pick<Sized, "concrete" | "walk"> => {
    const extra = sizeInOhms(size);
    const after = { ...before, ohms: before.ohms + extra };
    const concrete = { fault: { ...fault, ohms: extra } };
    const adjust = (): void => vehicle.setOhms(before.id, after.ohms);
    const walk = book.single(concrete, vehicle, [{ id: before.id, before, after }], adjust, like);
    like = walk;
    return { concrete, walk };
  };
  const branches = [triedOhms.map((ohms) => Math.log(ohms))];
  const prior = { mean: Math.log(faultOhms.median), deviation: faultOhms.logDeviation };
  const reach = reachOf(walkAt(Math.max(...branches.flat())).walk, bench);
  like = undefined;
  const fit = estimateSize(prior, branches, reach.without, (size) => {
    const made = walkAt(size);
    return { ...made, ...sizeScore(made.walk, reach, bench) };
  });
  const resistor = { partId: before.id, soundOhms: before.ohms };
  return { ...sized(fit, bench), sizing: { prior, branches, found: fit.size, at: walkAt, resistor } };
}

function isResized(part: Part, healthy: Part | undefined): boolean {
  return part.kind === "resistor" && healthy?.kind === "resistor" && part.ohms !== healthy.ohms;
}

/** Currents of a wrong lamp to try, against the planned one: from nearly right to far off, weaker and stronger. */
const triedShares = [
  [0.75, 0.4, 0.15],
  [1.35, 2.7, 7],
];

function otherLamp(fault: Fault, bench: Bench): Sized {
  const { book } = bench;
  const partId = fault.at;
  const planned = book.healthyVehicle.parts.get(partId);
  const nodes = planned === undefined ? undefined : lampNodes(planned);
  if (planned === undefined || nodes === undefined) return fixed({ fault }, bench);
  const { ambientC, plan } = book.conditions;
  const filament = planned.kind === "filament" ? planned.model : undefined;
  const designVolts = filament?.designVolts ?? (12.8 * plan.nominalVolts) / 12;
  const walkAt = (size: number): Pick<Sized, "concrete" | "walk"> => {
    const model = { designVolts, designAmps: Math.exp(size) };
    const concrete = {
      fault,
      replacement: { kind: "filament", id: partId, ...nodes, model, celsius: ambientC } as const,
    };
    return { concrete, walk: book.single(concrete) };
  };
  const prior = { mean: Math.log(wrongLampAmps.median), deviation: wrongLampAmps.logDeviation };
  const centre = filament?.designAmps ?? wrongLampAmps.median;
  const branches = triedShares.map((shares) => shares.map((share) => Math.log(centre * share)));
  const reach = reachOf(walkAt(Math.max(...branches.flat())).walk, bench);
  const fit = estimateSize(prior, branches, reach.without, (size) => {
    const made = walkAt(size);
    const score = sizeScore(made.walk, reach, bench);
    // A bulb within the scatter of the planned one is not a wrong one.
    const near = filament === undefined ? 0 : Math.exp(-0.5 * ((size - Math.log(centre)) / 0.12) ** 2);
    return { ...made, ...score, logLikelihood: score.logLikelihood + Math.log(1.0001 - near) };
  });
  return { ...sized(fit, bench), sizing: { prior, branches, found: fit.size, at: walkAt } };
}

function lampNodes(part: Part): { a: string; b: string } | undefined {
  if (part.kind === "filament" || part.kind === "resistor") return { a: part.a, b: part.b };
  if (part.kind === "led") return { a: part.anode, b: part.cathode };
  return undefined;
}
