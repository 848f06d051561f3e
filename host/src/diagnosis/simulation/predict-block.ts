import { vehicleOhms } from "../../plan/attach-bench.js";
import { fedLamps } from "../../plan/expected.js";
import { partScatter } from "../hypotheses/part-scatter.js";
import type { Observation } from "../likelihood/observation.js";
import type { PredictedBlock } from "../likelihood/predicted-block.js";
import type { ReadingBlock } from "../likelihood/reading-blocks.js";
import type { FaultedVehicle } from "./faulted-vehicle.js";
import { litChance } from "./lamp-lit.js";
import type { OperatingPoint } from "./operating-point.js";
import type { ScatterModel } from "./scatter-model.js";
import { ScatteringParts } from "./scattering-parts.js";

/** An explanation's prediction for one block of readings. */
export interface BlockPrediction extends PredictedBlock {
  readonly block: ReadingBlock;
  readonly point: OperatingPoint;
  /** Current into the fed pin, amps; 0 where none is fed. */
  readonly fedAmps: number;
  /** Log chance of what a person saw lit; 0 where nobody looked. */
  readonly logSeenChance: number;
}

/** Inrush is caught a little down its fall: this share of what cold filaments would draw (from the made cases: 0.9). */
const inrushShare = 0.92;

/** Of each vehicle that was asked before. */
const scatteringIn = new WeakMap<FaultedVehicle, ScatteringParts>();

/** Written over by every prediction: the influence of the fed pin, that of another one, and one row per reading. */
let fedInfluence: Float64Array = new Float64Array(0);
let otherInfluence: Float64Array = new Float64Array(0);
let allSlopes = new Float64Array(0);

/** A quantity whose deviation moves a reading by no more than this, volts or amps, is left out of the prediction. */
const leastSlope = 1e-7;

/** Predicts one block: operating point, every reading, and how each moves with what scatters. */
export function predictBlock(
  vehicle: FaultedVehicle,
  block: ReadingBlock,
  scatter: ScatterModel,
  from?: OperatingPoint,
): BlockPrediction {
  const { feeding, observations } = block;
  const point = vehicle.feed(feeding, from);
  const fedAmps = vehicle.bench.sourceAmps();
  const logSeen = logSeenChance(vehicle, block, point);
  const values = new Float64Array(observations.length);
  const extraVariance = new Float64Array(observations.length);
  const made = { block, point, fedAmps, logSeenChance: logSeen, observations, values, extraVariance };
  if (observations.length === 0) return { ...made, scattered: [], slopes: new Float64Array(0) };
  const signal = vehicle.prepared.linearize();
  const parts = scatteringIn.get(vehicle) ?? new ScatteringParts(vehicle, scatter);
  scatteringIn.set(vehicle, parts);
  parts.note(point, signal);
  const sources = liveSources(vehicle, block, scatter);
  const { count } = scatter;
  if (allSlopes.length < observations.length * count) allSlopes = new Float64Array(2 * observations.length * count);
  allSlopes.fill(0, 0, observations.length * count);
  const fedNode = "pin" in feeding ? vehicle.built.pinNode(feeding.pin) : undefined;
  let fedKnown = false;
  for (let row = 0; row < observations.length; row++) {
    const observation = observations[row] as Observation;
    const node = nodeOf(vehicle, observation);
    const ofAmps = observation.kind === "drive-amps" || observation.kind === "peak";
    const share = observation.kind === "peak" ? inrushShare : 1;
    const scale = ofAmps ? -share / vehicle.conditions.source.ohms : share;
    const value = ofAmps ? share * fedAmps : (point.voltsOf(node) ?? 0);
    values[row] = value;
    if (node !== fedNode) otherInfluence = signal.influence(node, otherInfluence);
    else if (!fedKnown) {
      fedInfluence = signal.influence(node, fedInfluence);
      fedKnown = true;
    }
    const influence = node === fedNode ? fedInfluence : otherInfluence;
    const offset = row * count;
    let variance = parts.addTo(allSlopes, offset, signal, influence, scale);
    for (const { part, ofBench, amps, index } of sources) {
      addSlope(offset + index, scale * signal.voltsPerAmpOf(part, influence) * -amps);
      // The source's own volts also stand in the equation that turns the pin's volts into amps.
      if (ofAmps && ofBench) addSlope(offset + index, share * amps);
    }
    if (observation.kind === "drive-amps") addSlope(offset + scatter.ampsGain, value * scatter.ampsGainRelative);
    if (observation.kind === "peak") {
      addSlope(offset + scatter.inrush, value * partScatter.inrushLot);
      const own = lightsOthers(vehicle, observation.fed, fedAmps) ? partScatter.inrushWarm : partScatter.inrushOwn;
      variance += (value * own) ** 2;
    }
    extraVariance[row] = variance;
  }
  return { ...made, ...compacted(observations.length, count) };
}

function addSlope(at: number, change: number): void {
  allSlopes[at] = (allSlopes[at] as number) + change;
}

/**
 * Whether the pin lights a lamp that another pin lights too: driven a moment before, it is still warm, and its inrush says
 * little. A lamp counts from a tenth of the pin's current on.
 */
function lightsOthers(vehicle: FaultedVehicle, pin: string, fedAmps: number): boolean {
  const { plan } = vehicle.built;
  if (plan.kind !== "install") return false;
  const own = fedLamps(plan, pin);
  const lit = vehicle.built.lamps.filter((lamp) => {
    const index = vehicle.prepared.indexOfPart(lamp.partIds[0] ?? "");
    return Math.abs(vehicle.prepared.ampsOfPart(index)) > 0.1 * fedAmps;
  });
  const mixed = lit.some(({ id }) => own.includes(id)) && lit.some(({ id }) => !own.includes(id));
  return mixed || lit.some(({ functions }) => functions.length > 1);
}

/** Log chance of what a person saw lit while the pin of this block was driven. */
function logSeenChance(vehicle: FaultedVehicle, { seen }: ReadingBlock, point: OperatingPoint): number {
  if (seen === undefined) return 0;
  let log = 0;
  for (const lamp of vehicle.built.lamps) {
    const lit = litChance(vehicle, lamp, point);
    log += Math.log(seen.includes(lamp.id) ? lit : 1 - lit);
  }
  return log;
}

function nodeOf(vehicle: FaultedVehicle, { kind, pin }: Observation): string {
  return kind === "low-far" || kind === "drive-far" ? vehicle.built.farPinNode(pin) : vehicle.built.pinNode(pin);
}

interface LiveSource {
  readonly part: number;
  /** Whether it is the tester's own. */
  readonly ofBench: boolean;
  /** What one standard deviation of its volts would drive through its resistance, amps. */
  readonly amps: number;
  /** The scattered quantity. */
  readonly index: number;
}

/** The sources that are on in this block, with the scatter of their volts. */
function liveSources(vehicle: FaultedVehicle, { feeding }: ReadingBlock, scatter: ScatterModel): LiveSource[] {
  const { source } = vehicle.conditions;
  const { prepared } = vehicle;
  const bench = (pin: string, amps: number, index: number): LiveSource[] => [
    { part: prepared.indexOfPart(`bench:${pin}`), ofBench: true, amps, index },
  ];
  switch (feeding.kind) {
    case "drive":
    case "inrush":
      return bench(feeding.pin, scatter.supplyVolts / source.ohms, scatter.supply);
    case "low":
      return bench(feeding.pin, scatter.lowSupplyVolts / source.lowOhms, scatter.lowSupply);
    case "back-feed":
      return vehicle.built.lamps
        .filter(({ functions }) => functions.some((one) => feeding.functions.includes(one)))
        .map(({ id }) => ({
          part: prepared.indexOfPart(`vehicle:${id}`),
          ofBench: false,
          amps: scatter.vehicleVolts / vehicleOhms,
          index: scatter.vehicle,
        }));
    case "rest":
      return [];
  }
}

/** Of all slopes, keeps only the columns that move something. */
function compacted(rows: number, count: number): { scattered: number[]; slopes: Float64Array } {
  const scattered: number[] = [];
  for (let index = 0; index < count; index++) {
    for (let at = index; at < rows * count; at += count) {
      if (Math.abs(allSlopes[at] as number) <= leastSlope) continue;
      scattered.push(index);
      break;
    }
  }
  const width = scattered.length;
  const slopes = new Float64Array(rows * width);
  for (let column = 0; column < width; column++) {
    const index = scattered[column] as number;
    for (let row = 0; row < rows; row++) slopes[row * width + column] = allSlopes[row * count + index] as number;
  }
  return { scattered, slopes };
}
