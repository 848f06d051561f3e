import type { Part } from "../circuit/network.js";
import { type PreparedNetwork, prepareNetwork, type RunOptions, type RunResult } from "../circuit/prepared-network.js";
import type { PlanNetwork } from "./plan-network.js";

/** The tester as its readings tell it: `source` of the readings format, volts and ohms. */
export interface BenchSource {
  readonly volts: number;
  readonly ohms: number;
  readonly lowVolts: number;
  readonly lowOhms: number;
  readonly senseOhms: number;
}

/** The reference bench with a 12.8 V supply. */
export const referenceBenchSource: BenchSource = {
  volts: 12.8,
  ohms: 0.1,
  lowVolts: 4.4,
  lowOhms: 1000,
  senseOhms: 133_000,
};

/** The vehicle's own supply behind its switch is stiff, ohms (common practice, no source; the made cases show no more). */
export const vehicleOhms = 0.01;

/** Puts a tester on every pin of a plan's network. The network is prepared once; what is switched on can change between runs. */
export function attachBench(built: PlanNetwork, source: BenchSource = referenceBenchSource): BenchCircuit {
  return new BenchCircuit(built, source);
}

/** All parts of a plan's network with the tester's: `sense:P` `far-sense:Q` to the tester's ground, `bench:P` its switchable source, `vehicle:S.F` the vehicle's own switches. */
export function benchParts(built: PlanNetwork, source: BenchSource): Part[] {
  const minus = built.reference;
  const parts: Part[] = [...built.parts];
  for (const pin of built.pins) {
    const node = built.pinNode(pin);
    parts.push({ kind: "resistor", id: `sense:${pin}`, a: node, b: minus, ohms: source.senseOhms });
    parts.push({ kind: "source", id: `bench:${pin}`, plus: node, minus, volts: 0, ohms: 1 });
  }
  for (const pin of built.farPins) {
    parts.push({
      kind: "resistor",
      id: `far-sense:${pin}`,
      a: built.farPinNode(pin),
      b: minus,
      ohms: source.senseOhms,
    });
  }
  for (const lamp of built.lamps) {
    const chassis = built.chassisNode ?? minus;
    parts.push({ kind: "source", id: `vehicle:${lamp.id}`, plus: lamp.factoryNode, minus: chassis, volts: 0, ohms: 1 });
  }
  return parts;
}

/** A plan's network with a tester on it. Switch (`drive`, `low`, `rest`, `vehicle`), `run`, then read. */
export class BenchCircuit {
  readonly prepared: PreparedNetwork;
  private driven: string | undefined;
  private weak = false;
  private readonly on = new Set<string>();
  private readonly answers = new Map<string, Float64Array>();

  constructor(
    readonly built: PlanNetwork,
    readonly source: BenchSource,
  ) {
    const made = prepareNetwork({ reference: built.reference, parts: benchParts(built, source) });
    if (made.kind === "invalid") throw new RangeError(made.problems.map((problem) => problem.text).join("; "));
    this.prepared = made.prepared;
    for (const pin of built.pins) this.prepared.setSource(`bench:${pin}`, 0, Number.POSITIVE_INFINITY);
    for (const lamp of built.lamps) this.prepared.setSource(`vehicle:${lamp.id}`, 0, Number.POSITIVE_INFINITY);
  }

  /** Nothing driven. */
  rest(): void {
    if (this.driven !== undefined) this.prepared.setSource(`bench:${this.driven}`, 0, Number.POSITIVE_INFINITY);
    this.driven = undefined;
  }

  /** Full supply on one pin, all others sensed. */
  drive(pin: string, volts = this.source.volts, ohms = this.source.ohms): void {
    this.rest();
    this.weak = false;
    this.prepared.setSource(`bench:${pin}`, volts, ohms);
    this.driven = pin;
  }

  /** The low-current source on one pin. */
  low(pin: string): void {
    this.drive(pin, this.source.lowVolts, this.source.lowOhms);
    this.weak = true;
  }

  /** Switches the vehicle's own supply onto the lamps of these functions, and off all others. */
  vehicle(functions: readonly string[], volts = (this.built.plan.nominalVolts * 12.6) / 12): void {
    for (const lamp of this.built.lamps) {
      const live = lamp.functions.some((one) => functions.includes(one));
      if (!live && !this.on.has(lamp.id)) continue;
      this.prepared.setSource(`vehicle:${lamp.id}`, live ? volts : 0, live ? vehicleOhms : Number.POSITIVE_INFINITY);
      if (live) this.on.add(lamp.id);
      else this.on.delete(lamp.id);
    }
  }

  /** Solves; `warm` starts from the last answer for the same pin and source. */
  run(options: RunOptions = {}): RunResult {
    const state = `${this.driven ?? ""} ${this.weak ? "low" : "full"}`;
    const before = options.warm === true ? this.answers.get(state) : undefined;
    if (before !== undefined) this.prepared.recall(before);
    const result = this.prepared.run({ ...options, warm: before !== undefined });
    if (result.kind === "solved") this.answers.set(state, this.prepared.remember(this.answers.get(state)));
    return result;
  }

  pinVolts(pin: string): number {
    return pin === this.built.groundPin ? 0 : this.prepared.voltsAt(this.built.pinNode(pin));
  }

  farVolts(pin: string): number {
    return this.prepared.voltsAt(this.built.farPinNode(pin));
  }

  /** Current out of the tester's source into the driven pin, amps; 0 when nothing is driven. */
  sourceAmps(): number {
    return this.driven === undefined ? 0 : 0 - this.prepared.ampsThrough(`bench:${this.driven}`);
  }

  /** Volts across a lamp. */
  lampVolts(lampId: string): number {
    const lamp = this.built.lamps.find((one) => one.id === lampId);
    if (lamp === undefined) throw new RangeError(`no lamp "${lampId}" in this network`);
    return this.prepared.voltsAt(lamp.feedNode) - this.prepared.voltsAt(lamp.returnNode);
  }
}
