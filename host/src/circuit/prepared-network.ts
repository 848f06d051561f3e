import { type Branch, LinearBranch } from "./branch.js";
import { FilamentBranch } from "./filament.js";
import type { Network, NetworkProblem } from "./network.js";
import { NodalSystem } from "./nodal-system.js";
import { kindOf } from "./part-kinds.js";
import { SmallSignal } from "./small-signal.js";
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
  /** Largest current-law residual, amps. Default 5e-10: ten times the rounding of 24 V across a tenth of a milliohm. */
  readonly residualAmps?: number;
  readonly maxIterations?: number;
}

/** Plain Newton steps before the steps are shortened by search. */
const plainIterations = 16;
/** Between open ends, siemens: what a switched-off part leaks. */
const openSiemens = 1e-12;
/**
 * A step this small, volts, may end the iteration if the current law holds then: what is left is its square over twice
 * N·VT, below 50 µV, and only where next to no current flows.
 */
const settledVolts = 2e-3;
/** A part whose voltage moved less than this, volts, keeps its slope: the current is off by 1e-11 of its size. */
const sameVolts = 1e-7;

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
  private readonly system: NodalSystem;
  private readonly unknownVolts: Float64Array;
  private readonly step: Float64Array;
  private readonly residual: Float64Array;
  /** Where each nonlinear part was linearized, volts; with the current and slope of a cold start. */
  private readonly atVolts: Float64Array;
  private readonly startAmps: Float64Array;
  private readonly startSiemens: Float64Array;
  private readonly ties: TieCurrents;
  private stale = true;
  private regular = true;
  private solvedBefore = false;

  constructor(network: Network, topology: Topology) {
    this.topology = topology;
    this.nodes = topology.nodes;
    this.partIds = network.parts.map((part) => part.id);
    this.partIndex = new Map(this.partIds.map((id, index) => [id, index]));
    this.branches = network.parts.map((part, index) =>
      topology.isTie[index] === true ? new LinearBranch(0, 0) : kindOf(part).branch(part),
    );
    this.system = new NodalSystem(topology, this.branches);
    this.unknownVolts = new Float64Array(topology.unknowns);
    this.step = new Float64Array(topology.unknowns);
    this.residual = new Float64Array(topology.unknowns);
    this.atVolts = new Float64Array(this.branches.length);
    this.startAmps = new Float64Array(this.branches.length);
    this.startSiemens = new Float64Array(this.branches.length);
    for (const part of this.system.nonlinear) this.rememberStart(part);
    this.nodeVolts = new Float64Array(this.nodes.length);
    this.ties = new TieCurrents(topology);
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
    const part = this.indexOfPart(id);
    const branch = this.branches[part];
    if (!(branch instanceof FilamentBranch)) throw new RangeError(`"${id}" is not a filament`);
    branch.heldOhms = ohms;
    this.rememberStart(part);
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
    return this.ties.amps(index, this.branches) ?? this.branches[index]?.amps ?? 0;
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

  /** The last answer, for `recall`; written into `into` where given. */
  remember(into: Float64Array = new Float64Array(this.unknownVolts.length)): Float64Array {
    into.set(this.unknownVolts);
    return into;
  }

  /** Lets the next warm run start from a remembered answer. */
  recall(answer: Float64Array): void {
    this.unknownVolts.set(answer);
    this.solvedBefore = true;
  }

  /** The answers to small changes around the last run's answer; valid until the next run. */
  linearize(): SmallSignal {
    if (this.stale) this.stampLinear();
    for (const part of this.system.nonlinear) this.linearizeAt(part, this.across(part));
    this.system.solve(this.atVolts);
    const { ldl, firstUnknown, secondUnknown } = this.system;
    const unknownOf = (node: string): number => {
      const index = this.topology.nodeIndex.get(node);
      if (index === undefined) throw new RangeError(`no node "${node}" in this network`);
      return this.topology.unknown[index] ?? -1;
    };
    return new SmallSignal(ldl, this.branches, firstUnknown, secondUnknown, unknownOf);
  }

  /** Finds the operating point. Volts and amps can be read afterwards whatever the result says. */
  run(options: RunOptions = {}): RunResult {
    if (this.stale) this.stampLinear();
    const warm = options.warm === true && this.solvedBefore;
    let result = this.iterate(options, warm);
    // A start in the wrong corner can go astray where the parts' own working points do not.
    if (warm && result.kind !== "solved") result = this.iterate(options, false);
    if (result.kind === "solved") this.solvedBefore = true;
    this.spreadVolts();
    return result;
  }

  private iterate(options: RunOptions, warm: boolean): RunResult {
    const tolerance = options.residualAmps ?? 5e-10;
    const most = options.maxIterations ?? 200;
    const { system, unknownVolts, step } = this;
    const { active, answer } = system;
    this.start(warm);
    let searching = false;
    for (let iteration = 1; iteration <= most && this.regular; iteration++) {
      if (!system.solve(this.atVolts)) break;
      let largest = 0;
      for (let at = 0; at < active.length; at++) {
        const unknown = active[at] as number;
        const change = (answer[unknown] as number) - (unknownVolts[unknown] as number);
        step[unknown] = change;
        unknownVolts[unknown] = answer[unknown] as number;
        if (!(Math.abs(change) <= largest)) largest = Math.abs(change);
      }
      if (!Number.isFinite(largest)) break;
      if (searching) this.shorten(this.slopeAlongStep());
      else if (this.linearizeAll() || largest > settledVolts) {
        searching = iteration >= plainIterations;
        if (searching) this.evaluateAll(false);
        continue;
      }
      const worst = this.evaluateAll(!searching);
      if (worst <= tolerance && largest <= settledVolts) {
        return { kind: "solved", iterations: iteration, residualAmps: worst };
      }
    }
    const residualAmps = this.evaluateAll(false);
    return { kind: "not-converged", iterations: most, residualAmps, worstNode: this.worstNode() };
  }

  private linearBranch(id: string): LinearBranch {
    const index = this.indexOfPart(id);
    const branch = this.branches[index];
    if (!(branch instanceof LinearBranch) || this.topology.isTie[index] === true) {
      throw new RangeError(`"${id}" has no value that can be changed`);
    }
    return branch;
  }

  private stampLinear(): void {
    this.regular = this.system.stampLinear();
    this.stale = false;
  }

  private rememberStart(part: number): void {
    const branch = this.branches[part] as Branch;
    branch.evaluate(branch.startVolts);
    this.startAmps[part] = branch.amps;
    this.startSiemens[part] = branch.siemens;
  }

  private start(warm: boolean): void {
    if (!warm) this.unknownVolts.fill(0);
    for (const part of this.system.nonlinear) {
      const branch = this.branches[part] as Branch;
      if (warm) {
        this.linearizeAt(part, this.across(part));
        continue;
      }
      branch.amps = this.startAmps[part] as number;
      branch.siemens = this.startSiemens[part] as number;
      this.atVolts[part] = branch.startVolts;
    }
  }

  private across(part: number): number {
    return this.system.voltsAcross(part, this.unknownVolts);
  }

  private linearizeAt(part: number, volts: number): void {
    this.atVolts[part] = volts;
    (this.branches[part] as Branch).evaluate(volts);
  }

  /** Linearizes every nonlinear part at the present voltages; true when one was held back from its voltage. */
  private linearizeAll(): boolean {
    const { nonlinear } = this.system;
    let limited = false;
    for (let at = 0; at < nonlinear.length; at++) {
      const part = nonlinear[at] as number;
      const volts = this.across(part);
      const branch = this.branches[part] as Branch;
      const before = this.atVolts[part] as number;
      if (Math.abs(volts - before) < sameVolts) {
        branch.amps += branch.siemens * (volts - before);
        this.atVolts[part] = volts;
        continue;
      }
      const used = branch.limit === undefined ? volts : branch.limit(volts, before);
      if (used !== volts) limited = true;
      this.linearizeAt(part, used);
    }
    return limited;
  }

  /** Completes the voltages, evaluates every part there, and returns the largest current-law residual, amps. */
  private evaluateAll(linearized: boolean): number {
    const { system, unknownVolts, branches, residual } = this;
    system.complete(unknownVolts);
    unknownVolts.set(system.answer);
    residual.fill(0);
    for (const part of system.linear) {
      const branch = branches[part] as Branch;
      branch.evaluate(this.across(part));
      this.gather(part, branch.amps);
    }
    for (const part of system.nonlinear) {
      if (!linearized) this.linearizeAt(part, this.across(part));
      this.gather(part, (branches[part] as Branch).amps);
    }
    let worst = 0;
    for (const amps of residual) if (!(Math.abs(amps) <= worst)) worst = Math.abs(amps);
    return worst;
  }

  private gather(part: number, amps: number): void {
    const a = this.system.firstUnknown[part] as number;
    const b = this.system.secondUnknown[part] as number;
    if (a >= 0) this.residual[a] = (this.residual[a] as number) + amps;
    if (b >= 0) this.residual[b] = (this.residual[b] as number) - amps;
  }

  /** Slope of the network's co-content along the step: every slope of a part is positive, so it has one minimum. */
  private slopeAlongStep(): number {
    let slope = 0;
    for (const unknown of this.system.active) {
      slope += (this.step[unknown] as number) * (this.residual[unknown] as number);
    }
    return slope;
  }

  /** Halves the step until it no longer runs far past the minimum along it. */
  private shorten(slopeBefore: number): void {
    let share = 1;
    this.evaluateAll(false);
    for (let halving = 0; halving < 40 && this.slopeAlongStep() > 0.5 * Math.abs(slopeBefore); halving++) {
      share /= 2;
      for (const unknown of this.system.active) {
        this.unknownVolts[unknown] = (this.unknownVolts[unknown] as number) - share * (this.step[unknown] as number);
      }
      this.evaluateAll(false);
    }
  }

  private worstNode(): string {
    let worst = 0;
    this.residual.forEach((amps, at) => {
      if (!(Math.abs(amps) <= Math.abs(this.residual[worst] ?? 0))) worst = at;
    });
    return this.nodes[this.topology.unknown.indexOf(worst)] ?? "";
  }

  private spreadVolts(): void {
    const { unknown, offsetVolts } = this.topology;
    for (let node = 0; node < this.nodeVolts.length; node++) {
      const at = unknown[node] as number;
      this.nodeVolts[node] = (at < 0 ? 0 : (this.unknownVolts[at] as number)) + (offsetVolts[node] as number);
    }
  }
}
