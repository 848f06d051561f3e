import { thermalVolts } from "../../circuit/diode.js";
import type { Part } from "../../circuit/network.js";
import type { SmallSignal } from "../../circuit/small-signal.js";
import { partScatter } from "../hypotheses/part-scatter.js";
import type { FaultedVehicle } from "./faulted-vehicle.js";
import type { OperatingPoint } from "./operating-point.js";
import { leakAmpsOf, type ScatterEffect, type ScatterModel } from "./scatter-model.js";

/** A part that scatters, by its place in the vehicle. */
interface ScatteringPart {
  readonly index: number;
  readonly part: Part;
  readonly effects: readonly ScatterEffect[];
  /** Deviation of its current that is its own and not followed from reading to reading, as a share. */
  readonly own: number;
  /** A diode's ends and the volts by which its law grows e-fold; undefined for all other parts. */
  readonly junction: { readonly anode: number; readonly cathode: number; readonly volts: number } | undefined;
  readonly ownLeakAmps: number;
}

/** Below this a part carries nothing that its scatter could change, amps. */
const leastAmps = 1e-8;

/** From here on a diode counts as conducting, amps. */
const leastForwardAmps = 1e-9;

/**
 * The parts of one vehicle that scatter, listed once. At an operating point, `note` finds how the current of each changes
 * with what scatters; the readings then only weigh these changes by how far each moves them.
 */
export class ScatteringParts {
  private readonly parts: (ScatteringPart | undefined)[];
  /** Parts that carry a current at the noted point, with the variance of it that is their own, amps². */
  private readonly carrying: Int32Array;
  private readonly variance: Float64Array;
  private carryingCount = 0;
  /** Their effects, from `start[at]` to `start[at + 1]`: which quantity changes the current by how many amps. */
  private readonly start: Int32Array;
  private quantity = new Int32Array(0);
  private amps = new Float64Array(0);

  constructor(
    private readonly vehicle: FaultedVehicle,
    private readonly scatter: ScatterModel,
  ) {
    this.parts = vehicle.partsNow.map((part, index) => this.listed(part, index));
    const count = this.parts.length;
    this.carrying = new Int32Array(count);
    this.variance = new Float64Array(count);
    this.start = new Int32Array(count + 1);
    const effects = this.parts.reduce((sum, part) => sum + (part?.effects.length ?? 0), 0);
    this.quantity = new Int32Array(effects);
    this.amps = new Float64Array(effects);
  }

  /** Notes how each part's current changes at the vehicle's present operating point. */
  note(point: OperatingPoint, signal: SmallSignal): void {
    const { vehicle, parts, quantity, amps, start } = this;
    let count = 0;
    let entry = 0;
    for (let index = 0; index < parts.length; index++) {
      let row = parts[index];
      if (row === undefined) continue;
      const now = vehicle.partsNow[index];
      if (now !== undefined && now !== row.part) {
        row = this.listed(now, index) ?? row;
        parts[index] = row;
      }
      const carried = vehicle.prepared.ampsOfPart(index);
      const blocking = row.junction === undefined ? 0 : blockingOf(row.junction, point);
      if (Math.abs(carried) < leastAmps && blocking === 0 && row.part.kind !== "source") continue;
      const siemens = signal.siemensOf(index);
      // The shift of a diode's voltage moves its current only where it conducts.
      const conducting = row.junction !== undefined && carried >= leastForwardAmps;
      const decades = conducting ? Math.log10(carried / 1e-3) : 0;
      const { effects } = row;
      for (let at = 0; at < effects.length; at++) {
        const effect = effects[at] as ScatterEffect;
        let change = effect.amps + carried * effect.relative - blocking * effect.leakAmps;
        if (conducting) change += siemens * (effect.shiftVolts + decades * effect.shiftVoltsPerDecade);
        if (change === 0) continue;
        quantity[entry] = effect.index;
        amps[entry++] = change;
      }
      this.carrying[count] = index;
      this.variance[count] = (carried * row.own) ** 2 + (row.ownLeakAmps * blocking) ** 2;
      start[++count] = entry;
    }
    this.carryingCount = count;
  }

  /**
   * Adds to `slopes`, from `offset` on, by how much one reading moves with each scattered quantity, and returns the variance
   * that the parts' own scatter brings to it. `influence` is that of its node, `scale` the reading's change per volt there.
   */
  addTo(slopes: Float64Array, offset: number, signal: SmallSignal, influence: Float64Array, scale: number): number {
    const { carrying, start, quantity, amps } = this;
    let variance = 0;
    for (let at = 0; at < this.carryingCount; at++) {
      const perAmp = scale * signal.voltsPerAmpOf(carrying[at] as number, influence);
      if (perAmp === 0) continue;
      for (let entry = start[at] as number; entry < (start[at + 1] as number); entry++) {
        const place = offset + (quantity[entry] as number);
        slopes[place] = (slopes[place] as number) + perAmp * (amps[entry] as number);
      }
      variance += perAmp * perAmp * (this.variance[at] as number);
    }
    return variance;
  }

  private listed(part: Part, index: number): ScatteringPart | undefined {
    const effects = this.scatter.effectsOf(part);
    const own = this.scatter.ownOhms(part);
    if (effects.length === 0 && own === 0) return undefined;
    const { nodeIndex } = this.vehicle.prepared;
    const junction =
      part.kind === "diode"
        ? {
            anode: nodeIndex.get(part.anode) ?? 0,
            cathode: nodeIndex.get(part.cathode) ?? 0,
            volts: part.model.ideality * thermalVolts(part.celsius),
          }
        : undefined;
    return { index, part, effects, own, junction, ownLeakAmps: partScatter.diodeLeakOwn * leakAmpsOf(part) };
  }
}

/** Share of its full leakage that a blocking diode carries: the junction law at this reverse voltage. */
function blockingOf(
  { anode, cathode, volts }: NonNullable<ScatteringPart["junction"]>,
  { volts: at }: OperatingPoint,
): number {
  const reverse = (at[cathode] ?? 0) - (at[anode] ?? 0);
  return reverse > 0 ? 1 - Math.exp(-reverse / volts) : 0;
}
