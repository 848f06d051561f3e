import { type Branch, LinearBranch } from "./branch.js";
import { FilamentBranch } from "./filament.js";
import type { Network, NetworkProblem } from "./network.js";
import { kindOf } from "./part-kinds.js";
import { SmallSignal } from "./small-signal.js";
import { SparseLdl } from "./sparse-ldl.js";
import { TieCurrents } from "./tie-currents.js";
import { readTopology, type Topology } from "./topology.js";

/** How a run ended. `residualAmps` is the largest sum of currents left at any node. */
export type RunResult =
  | { readonly kind: "solved"; readonly iterations: number; readonly residualAmps: number }
  | {
      readonly kind: "not-converged";
      readonly iterations: number;
      readonly residualAmps: number;
      readonly worstNode: string;
    };

export interface RunOptions {
  /** Start from the last answer instead of from the parts' working points: faster, same answer within tolerance. */
  readonly warm?: boolean;
  /** Largest current-law residual, amps. Default 1e-10. */
  readonly residualAmps?: number;
  readonly maxIterations?: number;
}

/** Plain Newton steps before the steps are shortened by search. */
const plainIterations = 30;
/** Between open ends, siemens: what a switched-off part leaks. */
const openSiemens = 1e-12;
/** A step this small, volts, ends the iteration. */
const settledVolts = 1e-7;

/** Prepares a network for many solves, or says why it cannot be solved. */
export function prepareNetwork(
  network: Network,
): { kind: "ready"; prepared: PreparedNetwork } | { kind: "invalid"; problems: readonly NetworkProblem[] } {
  const read = readTopology(network);
  if ("problems" in read) return { kind: "invalid", problems: read.problems };
  return { kind: "ready", prepared: new PreparedNetwork(network, read.topology) };
}

/**
 * Nodal analysis with Newton steps on one topology. Sources, resistances and filaments may be changed between runs;
 * nothing is allocated in a run. Holds state (its last answer): not to be shared between callers.
 */
export class PreparedNetwork {
  readonly nodes: readonly string[];
  readonly partIds: readonly string[];
  /** Node voltages of the last run against the reference, by node index. */
  readonly nodeVolts: Float64Array;
  private readonly topology: Topology;
  private readonly branches: readonly Branch[];
  private readonly partIndex: ReadonlyMap<string, number>;
  private readonly first: Int32Array;
  private readonly second: Int32Array;
  private readonly firstUnknown: Int32Array;
  private readonly secondUnknown: Int32Array;
  private readonly pairSlot: Int32Array;
  private readonly nonlinear: readonly number[];
  private readonly linear: readonly number[];
  private readonly ldl: SparseLdl;
  private readonly baseValues: Float64Array;
  private readonly baseRight: Float64Array;
  private readonly right: Float64Array;
  private readonly unknownVolts: Float64Array;
  private readonly step: Float64Array;
  private readonly residual: Float64Array;
  private readonly atVolts: Float64Array;
  private readonly ties: TieCurrents;
  private readonly tieOf: ReadonlyMap<number, number>;
  private stale = true;
  private solvedBefore = false;

  constructor(network: Network, topology: Topology) {
    this.topology = topology;
    this.nodes = topology.nodes;
    this.partIds = network.parts.map((part) => part.id);
    this.partIndex = new Map(this.partIds.map((id, index) => [id, index]));
    this.branches = network.parts.map((part, index) =>
      topology.isTie[index] === true ? new LinearBranch(0, 0) : kindOf(part).branch(part),
    );
    const count = network.parts.length;
    this.first = Int32Array.from(topology.ends, ([node]) => node);
    this.second = Int32Array.from(topology.ends, ([, node]) => node);
    this.firstUnknown = this.first.map((node) => topology.unknown[node] ?? -1);
    this.secondUnknown = this.second.map((node) => topology.unknown[node] ?? -1);
    const pairs: [number, number][] = [];
    const pairAt = new Map<string, number>();
    this.pairSlot = new Int32Array(count).fill(-1);
    for (let part = 0; part < count; part++) {
      const a = this.firstUnknown[part] ?? -1;
      const b = this.secondUnknown[part] ?? -1;
      if (topology.isTie[part] === true || a < 0 || b < 0 || a === b) continue;
      const key = `${Math.min(a, b)} ${Math.max(a, b)}`;
      const known = pairAt.get(key) ?? pairs.push([a, b]) - 1;
      pairAt.set(key, known);
      this.pairSlot[part] = topology.unknowns + known;
    }
    const indices = [...this.branches.keys()].filter((index) => topology.isTie[index] !== true);
    this.nonlinear = indices.filter((index) => this.branches[index]?.linear === false);
    this.linear = indices.filter((index) => this.branches[index]?.linear === true);
    this.ldl = new SparseLdl(topology.unknowns, pairs);
    this.baseValues = new Float64Array(this.ldl.values.length);
    this.baseRight = new Float64Array(topology.unknowns);
    this.right = new Float64Array(topology.unknowns);
    this.unknownVolts = new Float64Array(topology.unknowns);
    this.step = new Float64Array(topology.unknowns);
    this.residual = new Float64Array(topology.unknowns);
    this.atVolts = new Float64Array(count);
    this.nodeVolts = new Float64Array(this.nodes.length);
    this.ties = new TieCurrents(topology);
    this.tieOf = this.ties.indexOfPart;
  }

  /** Sets a source's volts. A source without resistance cannot be changed. */
  setVolts(id: string, volts: number): void {
    const branch = this.linearBranch(id);
    branch.offsetAmps = volts * branch.siemens;
    this.stale = true;
  }

  /** Sets a source's volts and resistance together; infinite ohms switch it off. */
  setSource(id: string, volts: number, ohms: number): void {
    const branch = this.linearBranch(id);
    branch.siemens = ohms === Number.POSITIVE_INFINITY ? openSiemens : 1 / ohms;
    branch.offsetAmps = ohms === Number.POSITIVE_INFINITY ? 0 : volts / ohms;
    this.stale = true;
  }

  /** Sets a resistor's ohms; infinite ohms open it. */
  setOhms(id: string, ohms: number): void {
    this.setSource(id, 0, ohms);
  }

  /** Sets a current source's amps. */
  setAmps(id: string, amps: number): void {
    this.linearBranch(id).offsetAmps = -amps;
    this.stale = true;
  }

  /** Holds a filament at a resistance (its temperature is somebody else's business), or lets it settle again. */
  holdFilament(id: string, ohms: number | undefined): void {
    const branch = this.branches[this.indexOfPart(id)];
    if (!(branch instanceof FilamentBranch)) throw new RangeError(`"${id}" is not a filament`);
    branch.heldOhms = ohms;
  }

  indexOfPart(id: string): number {
    const index = this.partIndex.get(id);
    if (index === undefined) throw new RangeError(`no part "${id}" in this network`);
    return index;
  }

  /** Volts of a node in the last run; a node that no part touches throws. */
  voltsAt(node: string): number {
    const index = this.topology.nodeIndex.get(node);
    if (index === undefined) throw new RangeError(`no node "${node}" in this network`);
    return this.nodeVolts[index] ?? 0;
  }

  /** Amps through a part in the last run, first node to second. */
  ampsThrough(id: string): number {
    return this.ampsOfPart(this.indexOfPart(id));
  }

  /** Like `ampsThrough`, by the part's index in the network. */
  ampsOfPart(index: number): number {
    const tie = this.tieOf.get(index);
    if (tie === undefined) return this.branches[index]?.amps ?? 0;
    return this.ties.amps(tie, this.branches);
  }

  /** Finds the operating point. Volts and amps can be read afterwards whatever the result says. */
  run(options: RunOptions = {}): RunResult {
    const tolerance = options.residualAmps ?? 1e-10;
    const most = options.maxIterations ?? 200;
    if (this.stale) this.stampLinear();
    this.start(options.warm === true && this.solvedBefore);
    const { unknownVolts, step } = this;
    let worst = Number.POSITIVE_INFINITY;
    for (let iteration = 1; iteration <= most; iteration++) {
      const searching = iteration > plainIterations;
      if (iteration === plainIterations + 1) this.evaluate(false);
      this.assemble();
      const lost = this.ldl.factor();
      if (lost >= 0) return this.failed(iteration, worst);
      const next = this.right;
      this.ldl.solve(next);
      let largest = 0;
      for (let at = 0; at < next.length; at++) {
        const change = (next[at] as number) - (unknownVolts[at] as number);
        step[at] = change;
        if (Math.abs(change) > largest) largest = Math.abs(change);
      }
      if (!Number.isFinite(largest)) return this.failed(iteration, worst);
      const slopeBefore = searching ? this.slopeAlongStep() : 0;
      for (let at = 0; at < next.length; at++) unknownVolts[at] = next[at] as number;
      let limited = this.evaluate(!searching);
      if (searching) {
        this.shorten(slopeBefore);
        limited = false;
      }
      worst = this.worstResidual();
      const settled = this.nonlinear.length === 0 || largest <= settledVolts;
      if (!limited && settled && worst <= tolerance) {
        this.solvedBefore = true;
        this.spreadVolts();
        return { kind: "solved", iterations: iteration, residualAmps: worst };
      }
    }
    return this.failed(most, worst);
  }

  /** Lets the next warm run start from these node voltages; nodes of which nothing is known stay where they were. */
  startFrom(voltsOf: (node: string) => number | undefined): void {
    const { unknown, offsetVolts } = this.topology;
    this.nodes.forEach((node, index) => {
      const at = unknown[index] ?? -1;
      const volts = at < 0 ? undefined : voltsOf(node);
      if (volts !== undefined) this.unknownVolts[at] = volts - (offsetVolts[index] ?? 0);
    });
    this.solvedBefore = true;
  }

  /** The answers to small changes around the last run's answer; valid until the next run. */
  linearize(): SmallSignal {
    if (this.stale) this.stampLinear();
    this.assemble();
    this.ldl.factor();
    const { unknown, nodeIndex } = this.topology;
    const unknownOf = (node: string): number => unknown[nodeIndex.get(node) ?? -1] ?? -1;
    return new SmallSignal(this.ldl, this.branches, this.firstUnknown, this.secondUnknown, unknownOf);
  }

  private linearBranch(id: string): LinearBranch {
    const index = this.indexOfPart(id);
    const branch = this.branches[index];
    if (!(branch instanceof LinearBranch) || this.topology.isTie[index] === true) {
      throw new RangeError(`"${id}" has no value that can be changed`);
    }
    return branch;
  }

  private failed(iterations: number, residualAmps: number): RunResult {
    this.spreadVolts();
    let worst = 0;
    this.residual.forEach((amps, at) => {
      if (!(Math.abs(amps) <= Math.abs(this.residual[worst] ?? 0))) worst = at;
    });
    const worstNode = this.nodes[this.topology.unknown.indexOf(worst)] ?? "";
    return { kind: "not-converged", iterations, residualAmps, worstNode };
  }

  private start(warm: boolean): void {
    for (const part of this.nonlinear) {
      const branch = this.branches[part] as Branch;
      const volts = warm ? this.branchVolts(part) : branch.startVolts;
      this.atVolts[part] = volts;
      branch.evaluate(volts);
    }
    if (!warm) this.unknownVolts.fill(0);
  }

  private branchVolts(part: number): number {
    const a = this.firstUnknown[part] as number;
    const b = this.secondUnknown[part] as number;
    const { unknownVolts } = this;
    const { offsetVolts } = this.topology;
    return (
      (a < 0 ? 0 : (unknownVolts[a] as number)) -
      (b < 0 ? 0 : (unknownVolts[b] as number)) +
      (offsetVolts[this.first[part] as number] as number) -
      (offsetVolts[this.second[part] as number] as number)
    );
  }

  private stamp(part: number, siemens: number, constantAmps: number, values: Float64Array, right: Float64Array): void {
    const a = this.firstUnknown[part] as number;
    const b = this.secondUnknown[part] as number;
    if (a === b) return;
    if (a >= 0) {
      values[a] = (values[a] as number) + siemens;
      right[a] = (right[a] as number) - constantAmps;
    }
    if (b >= 0) {
      values[b] = (values[b] as number) + siemens;
      right[b] = (right[b] as number) + constantAmps;
    }
    const slot = this.pairSlot[part] as number;
    if (slot >= 0) values[slot] = (values[slot] as number) - siemens;
  }

  private offsetOf(part: number): number {
    const { offsetVolts } = this.topology;
    return (offsetVolts[this.first[part] as number] as number) - (offsetVolts[this.second[part] as number] as number);
  }

  private stampLinear(): void {
    this.baseValues.fill(0);
    this.baseRight.fill(0);
    for (const part of this.linear) {
      const branch = this.branches[part] as LinearBranch;
      const constant = branch.siemens * this.offsetOf(part) - branch.offsetAmps;
      this.stamp(part, branch.siemens, constant, this.baseValues, this.baseRight);
    }
    this.stale = false;
  }

  private assemble(): void {
    this.ldl.values.set(this.baseValues);
    this.right.set(this.baseRight);
    for (const part of this.nonlinear) {
      const branch = this.branches[part] as Branch;
      const constant = branch.amps - branch.siemens * ((this.atVolts[part] as number) - this.offsetOf(part));
      this.stamp(part, branch.siemens, constant, this.ldl.values, this.right);
    }
  }

  /** Evaluates every branch at the present voltages and gathers the residual; true when a limited branch was held back. */
  private evaluate(limiting: boolean): boolean {
    const { residual, branches, atVolts } = this;
    let limited = false;
    residual.fill(0);
    for (const part of this.linear) {
      const branch = branches[part] as Branch;
      branch.evaluate(this.branchVolts(part));
      this.gather(part, branch.amps);
    }
    for (const part of this.nonlinear) {
      const branch = branches[part] as Branch;
      const volts = this.branchVolts(part);
      const used = limiting && branch.limit !== undefined ? branch.limit(volts, atVolts[part] as number) : volts;
      if (used !== volts) limited = true;
      atVolts[part] = used;
      branch.evaluate(used);
      this.gather(part, branch.amps);
    }
    return limited;
  }

  private gather(part: number, amps: number): void {
    const a = this.firstUnknown[part] as number;
    const b = this.secondUnknown[part] as number;
    if (a >= 0) this.residual[a] = (this.residual[a] as number) + amps;
    if (b >= 0) this.residual[b] = (this.residual[b] as number) - amps;
  }

  private worstResidual(): number {
    let worst = 0;
    for (const amps of this.residual) if (!(Math.abs(amps) <= worst)) worst = Math.abs(amps);
    return worst;
  }

  /** Slope of the network's co-content along the step: every slope of a part is positive, so it has one minimum. */
  private slopeAlongStep(): number {
    let slope = 0;
    for (let at = 0; at < this.step.length; at++) slope += (this.step[at] as number) * (this.residual[at] as number);
    return slope;
  }

  /** Halves the step until it no longer runs far past the minimum along it. */
  private shorten(slopeBefore: number): void {
    const { unknownVolts, step } = this;
    let share = 1;
    for (let halving = 0; halving < 40 && this.slopeAlongStep() > 0.5 * Math.abs(slopeBefore); halving++) {
      share /= 2;
      for (let at = 0; at < step.length; at++) {
        unknownVolts[at] = (unknownVolts[at] as number) - share * (step[at] as number);
      }
      this.evaluate(false);
    }
  }

  private spreadVolts(): void {
    const { unknown, offsetVolts } = this.topology;
    for (let node = 0; node < this.nodeVolts.length; node++) {
      const at = unknown[node] as number;
      this.nodeVolts[node] = (at < 0 ? 0 : (this.unknownVolts[at] as number)) + (offsetVolts[node] as number);
    }
  }
}
