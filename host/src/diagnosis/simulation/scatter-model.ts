import { thermalVolts } from "../../circuit/diode.js";
import type { Part } from "../../circuit/network.js";
import type { PlanNetwork } from "../../plan/plan-network.js";
import type { Readings } from "../../readings/readings.js";
import { benchScatter, partScatter, vehicleSupply } from "../hypotheses/part-scatter.js";

/**
 * One way in which a part's current moves with one standard deviation of a scattered quantity; 0 for what it does not do, so
 * that all are of one shape for the inner loop.
 */
export interface ScatterEffect {
  readonly index: number;
  /** Relative change of the current at the same voltage. */
  readonly relative: number;
  /** Change of the current at the same voltage, amps. */
  readonly amps: number;
  /** Shift of the part's voltage at the same current, volts: of a diode at any current. */
  readonly shiftVolts: number;
  /** Reverse leakage of a diode, amps. */
  readonly leakAmps: number;
  /** Shift of a diode's voltage for each decade of current above one milliamp, volts. */
  readonly shiftVoltsPerDecade: number;
}

type NamedEffect = Pick<ScatterEffect, "index"> & Partial<ScatterEffect>;

const noEffect = { relative: 0, amps: 0, shiftVolts: 0, leakAmps: 0, shiftVoltsPerDecade: 0 } as const;

const filledIn = (effects: readonly NamedEffect[]): ScatterEffect[] =>
  effects.map((effect) => ({ ...noEffect, ...effect }));

/** What scatters in a plan and a bench. Indices run from 0 to `count` − 1; each quantity has a unit normal prior. */
export interface ScatterModel {
  readonly count: number;
  readonly names: readonly string[];
  /** True for what all parts of a type or all readings share; false for what one part has to itself. */
  readonly isLot: (index: number) => boolean;
  readonly effectsOf: (part: Part) => readonly ScatterEffect[];
  /** Deviation of the logarithm of a joint's or wire's resistance that is its own; treated as noise of the reading. */
  readonly ownOhms: (part: Part) => number;
  readonly supply: number;
  readonly supplyVolts: number;
  readonly lowSupply: number;
  readonly lowSupplyVolts: number;
  readonly ampsGain: number;
  readonly ampsGainRelative: number;
  readonly inrush: number;
  readonly vehicle: number;
  readonly vehicleVolts: number;
}

/** Lists what scatters: the bench's gains and supply, lots of lamps, diodes and wire, and each lamp and diode for itself. */
export function scatterModel(healthy: PlanNetwork, readings: Readings, ambientC: number): ScatterModel {
  const names: string[] = [];
  const indexOf = new Map<string, number>();
  const indexFor = (name: string): number => {
    const known = indexOf.get(name);
    if (known !== undefined) return known;
    indexOf.set(name, names.length);
    return names.push(name) - 1;
  };
  const supply = indexFor("supply");
  const lowSupply = indexFor("low-current supply");
  const ampsGain = indexFor("current gain");
  const inrush = indexFor("inrush");
  const vehicle = indexFor("vehicle supply");
  const wireLot = indexFor("wire");
  const joint = indexFor("joint ohms");
  const foreign = indexFor("foreign supply");
  const foreignOhms = indexFor("foreign supply ohms");
  const foreignVolts = (vehicleSupply.foreignDeviation * healthy.plan.nominalVolts) / 12;
  const types = new Map(healthy.lamps.flatMap((lamp) => lamp.partIds.map((id) => [id, lamp.load.type] as const)));
  const kelvinVolts = thermalVolts(ambientC);
  const effectsById = new Map<string, readonly ScatterEffect[]>();
  const effectsOf = (part: Part): readonly ScatterEffect[] => {
    const known = effectsById.get(part.id);
    if (known !== undefined) return known;
    const made = filledIn(effectsOfPart(part, indexFor, types.get(part.id), wireLot, kelvinVolts));
    effectsById.set(part.id, made);
    return made;
  };
  for (const part of healthy.parts) effectsOf(part);
  const healthyOhms = new Map(
    healthy.parts.flatMap((part) => (part.kind === "resistor" ? [[part.id, part.ohms] as const] : [])),
  );
  const { amps, volts } = readings.tester.uncertainty;
  const steady = benchScatter.steadyShare / benchScatter.coverage;
  return {
    count: names.length,
    names,
    isLot: (index) => names[index]?.includes(":") === false,
    effectsOf: (part) => {
      const effects =
        effectsById.get(part.id) ?? filledIn(effectsOfFaultPart(part, { joint, foreign, foreignOhms, foreignVolts }));
      const share = effects.length > 0 && part.id.startsWith("wire:") ? soundShare(part, healthyOhms) : 1;
      return share === 1 ? effects : effects.map((effect) => ({ ...effect, relative: effect.relative * share }));
    },
    ownOhms: (part) => ownOhmsOf(part) * soundShare(part, healthyOhms),
    supply,
    supplyVolts: (volts.offset + volts.relative * readings.source.volts) / benchScatter.coverage,
    lowSupply,
    lowSupplyVolts: (volts.offset + volts.relative * readings.source.lowVolts) / benchScatter.coverage,
    ampsGain,
    ampsGainRelative: amps.relative * steady,
    inrush,
    vehicle,
    vehicleVolts: (vehicleSupply.deviation * healthy.plan.nominalVolts) / 12,
  };
}

function effectsOfPart(
  part: Part,
  indexFor: (name: string) => number,
  type: string | undefined,
  wireLot: number,
  kelvinVolts: number,
): readonly NamedEffect[] {
  switch (part.kind) {
    case "filament": {
      const lot = type ?? `filament ${part.model.designVolts}/${part.model.designAmps}`;
      return [
        { index: indexFor(lot), relative: partScatter.filamentLot },
        { index: indexFor(part.id), relative: partScatter.filamentOwn },
      ];
    }
    case "led":
      return [
        { index: indexFor(type ?? `led ${part.model.amps}`), relative: partScatter.ledLot },
        { index: indexFor(part.id), relative: partScatter.ledOwn },
      ];
    case "diode": {
      const { ideality } = part.model;
      const schottky = (part.model.gapVolts ?? 1.11) < 1;
      const scale = ideality * kelvinVolts;
      const lot = `diode ${part.model.saturationAmps}/${ideality}`;
      const lotDeviation = schottky ? partScatter.diodeLot.schottky : partScatter.diodeLot.silicon;
      return [
        { index: indexFor(lot), shiftVolts: scale * lotDeviation },
        { index: indexFor(`${lot} slope`), shiftVoltsPerDecade: partScatter.diodeSlopeVoltsPerDecade },
        { index: indexFor(part.id), shiftVolts: scale * partScatter.diodeOwn },
        { index: indexFor(`${lot} leakage`), leakAmps: leakAmpsOf(part) },
      ];
    }
    case "resistor":
      if (part.id.startsWith("wire:")) return [{ index: wireLot, relative: -partScatter.wireLot }];
      if (part.id.startsWith("far-load:")) return [{ index: indexFor(part.id), relative: -partScatter.farLoadOwn }];
      if (part.id.startsWith("lamp:")) return [{ index: indexFor(part.id), relative: -partScatter.resistorOwn }];
      return [];
    case "source":
    case "current-source":
      return [];
  }
}

/** Parts that only a fault brings: joints of unknown resistance, a supply of unknown voltage. */
function effectsOfFaultPart(
  part: Part,
  at: { joint: number; foreign: number; foreignOhms: number; foreignVolts: number },
): readonly NamedEffect[] {
  if (part.kind === "resistor" && /^(short|bridge):/.test(part.id))
    return [{ index: at.joint, relative: -partScatter.jointOhms }];
  if (part.kind === "source" && part.id.startsWith("foreign:"))
    return [
      { index: at.foreign, amps: -at.foreignVolts / part.ohms },
      { index: at.foreignOhms, relative: -partScatter.foreignOhms },
    ];
  return [];
}

/** Deviation of the reverse leakage of a diode's lot, amps. */
export function leakAmpsOf(part: Part): number {
  if (part.kind !== "diode") return 0;
  return (part.model.gapVolts ?? 1.11) < 1 ? partScatter.diodeLeakAmps.schottky : partScatter.diodeLeakAmps.silicon;
}

/** Only the sound share of a resistance scatters as sound parts do; what a fault adds is estimated. */
function soundShare(part: Part, healthyOhms: ReadonlyMap<string, number>): number {
  if (part.kind !== "resistor") return 1;
  const sound = healthyOhms.get(part.id) ?? 0;
  return part.ohms > sound && part.ohms > 0 ? sound / part.ohms : 1;
}

function ownOhmsOf(part: Part): number {
  if (part.kind !== "resistor") return 0;
  if (/^(contact|far-contact|socket-ground|ground-bond)/.test(part.id)) return partScatter.contactOwn;
  if (/^(wire|feed):/.test(part.id)) return partScatter.wireOwn;
  return 0;
}
