import { thermalVolts } from "../../circuit/diode.js";
import type { DiodePart, Part } from "../../circuit/network.js";
import { vehicleOhms } from "../../plan/attach-bench.js";
import { fedLamps } from "../../plan/expected.js";
import { partScatter } from "../hypotheses/part-scatter.js";
import type { PredictedBlock } from "../likelihood/marginal-fit.js";
import type { Observation } from "../likelihood/observation.js";
import type { ReadingBlock } from "../likelihood/reading-blocks.js";
import type { FaultedVehicle } from "./faulted-vehicle.js";
import { litChance } from "./lamp-lit.js";
import type { OperatingPoint } from "./operating-point.js";
import { leakAmpsOf, type ScatterEffect, type ScatterModel } from "./scatter-model.js";

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
  const values = new Float64Array(observations.length);
  const extraVariance = new Float64Array(observations.length);
  const full = new Float64Array(observations.length * scatter.count);
  const signal = observations.length > 0 ? vehicle.prepared.linearize() : undefined;
  const rows = signal === undefined ? [] : scatteredParts(vehicle, scatter, point, (index) => signal.siemensOf(index));
  const influences = new Map<string, Float64Array>();
  observations.forEach((observation, row) => {
    if (signal === undefined) return;
    const node = nodeOf(vehicle, observation);
    const ofAmps = observation.kind === "drive-amps" || observation.kind === "peak";
    const scale = ofAmps ? -1 / vehicle.conditions.source.ohms : 1;
    const share = observation.kind === "peak" ? inrushShare : 1;
    values[row] = ofAmps ? share * fedAmps : (point.voltsOf(node) ?? 0);
    const influence = influences.get(node) ?? signal.influence(node);
    influences.set(node, influence);
    const slopes = full.subarray(row * scatter.count, (row + 1) * scatter.count);
    const add = (index: number, change: number): void => {
      slopes[index] = (slopes[index] ?? 0) + change;
    };
    let variance = 0;
    for (const row of rows) {
      const perAmp = share * scale * signal.voltsPerAmpOf(row.index, influence);
      if (perAmp === 0) continue;
      for (const effect of row.effects) {
        const change = currentChange(row, effect);
        if (change !== 0) add(effect.index, perAmp * change);
      }
      variance += perAmp ** 2 * row.ownVariance;
    }
    addSources(vehicle, block, scatter, (partId, volts, ohms, index) => {
      const part = vehicle.prepared.indexOfPart(partId);
      add(index, share * scale * signal.voltsPerAmpOf(part, influence) * (-volts / ohms));
      // The source's own volts also stand in the equation that turns the pin's volts into amps.
      if (ofAmps && partId.startsWith("bench:")) add(index, share * (volts / ohms));
    });
    if (observation.kind === "drive-amps") add(scatter.ampsGain, (values[row] ?? 0) * scatter.ampsGainRelative);
    if (observation.kind === "peak") {
      add(scatter.inrush, (values[row] ?? 0) * partScatter.inrushLot);
      const own = lightsOthers(vehicle, observation.fed, fedAmps) ? partScatter.inrushWarm : partScatter.inrushOwn;
      variance += ((values[row] ?? 0) * own) ** 2;
    }
    extraVariance[row] = variance;
  });
  return {
    block,
    point,
    fedAmps,
    logSeenChance: logSeenChance(vehicle, block, point),
    observations,
    values,
    extraVariance,
    ...compacted(full, observations.length, scatter.count),
  };
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

interface ScatteredPart {
  readonly part: Part;
  readonly index: number;
  readonly amps: number;
  readonly siemens: number;
  readonly effects: readonly ScatterEffect[];
  /** Variance of the current that is the part's own and not followed from reading to reading, amps². */
  readonly ownVariance: number;
  /** Share of its full leakage that a blocking diode carries: the junction law at this reverse voltage. */
  readonly blocking: number;
}

/** The parts that carry a current and scatter, at the present operating point. */
function scatteredParts(
  vehicle: FaultedVehicle,
  scatter: ScatterModel,
  point: OperatingPoint,
  siemensOf: (index: number) => number,
): ScatteredPart[] {
  const rows: ScatteredPart[] = [];
  for (const planned of vehicle.built.parts) {
    const part = vehicle.partNow(planned);
    const effects = scatter.effectsOf(part);
    const own = scatter.ownOhms(part);
    if (effects.length === 0 && own === 0) continue;
    const index = vehicle.prepared.indexOfPart(part.id);
    const amps = vehicle.prepared.ampsOfPart(index);
    const blocking = part.kind === "diode" ? blockingOf(part, point) : 0;
    if (Math.abs(amps) < 1e-8 && part.kind !== "source" && blocking === 0) continue;
    const ownVariance = (amps * own) ** 2 + (partScatter.diodeLeakOwn * leakAmpsOf(part) * blocking) ** 2;
    rows.push({ part, index, amps, siemens: siemensOf(index), effects, ownVariance, blocking });
  }
  return rows;
}

function blockingOf({ anode, cathode, model, celsius }: DiodePart, point: OperatingPoint): number {
  const reverse = (point.voltsOf(cathode) ?? 0) - (point.voltsOf(anode) ?? 0);
  return reverse > 0 ? 1 - Math.exp(-reverse / (model.ideality * thermalVolts(celsius))) : 0;
}

function currentChange({ part, amps, siemens, blocking }: ScatteredPart, effect: ScatterEffect): number {
  if (effect.leakAmps !== undefined) return -effect.leakAmps * blocking;
  if (effect.amps !== undefined) return effect.amps;
  if (effect.relative !== undefined) return amps * effect.relative;
  if (part.kind !== "diode" || amps < 1e-9) return 0;
  if (effect.shiftVolts !== undefined) return siemens * effect.shiftVolts;
  return siemens * (effect.shiftVoltsPerDecade ?? 0) * Math.log10(amps / 1e-3);
}

function nodeOf(vehicle: FaultedVehicle, { kind, pin }: Observation): string {
  return kind === "low-far" || kind === "drive-far" ? vehicle.built.farPinNode(pin) : vehicle.built.pinNode(pin);
}

/** The sources that are on in this block, with the scatter of their volts. */
function addSources(
  vehicle: FaultedVehicle,
  { feeding }: ReadingBlock,
  scatter: ScatterModel,
  add: (partId: string, volts: number, ohms: number, index: number) => void,
): void {
  const { source } = vehicle.conditions;
  if (feeding.kind === "drive" || feeding.kind === "inrush") {
    add(`bench:${feeding.pin}`, scatter.supplyVolts, source.ohms, scatter.supply);
  } else if (feeding.kind === "low") {
    add(`bench:${feeding.pin}`, scatter.lowSupplyVolts, source.lowOhms, scatter.lowSupply);
  } else if (feeding.kind === "back-feed") {
    for (const lamp of vehicle.built.lamps) {
      if (!lamp.functions.some((one) => feeding.functions.includes(one))) continue;
      add(`vehicle:${lamp.id}`, scatter.vehicleVolts, vehicleOhms, scatter.vehicle);
    }
  }
}

/** Keeps only the columns that move something. */
function compacted(full: Float64Array, rows: number, count: number): { scattered: number[]; slopes: Float64Array } {
  const scattered: number[] = [];
  for (let index = 0; index < count; index++) {
    for (let row = 0; row < rows; row++) {
      if (Math.abs(full[row * count + index] ?? 0) > 1e-7) {
        scattered.push(index);
        break;
      }
    }
  }
  const slopes = new Float64Array(rows * scattered.length);
  for (let row = 0; row < rows; row++) {
    scattered.forEach((index, column) => {
      slopes[row * scattered.length + column] = full[row * count + index] ?? 0;
    });
  }
  return { scattered, slopes };
}
