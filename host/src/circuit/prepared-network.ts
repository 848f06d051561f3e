import { type Branch, LinearBranch } from "./branch.js";
import { FilamentBranch } from "./filament.js";
import type { Network, NetworkProblem } from "./network.js";
import { NewtonSteps } from "./newton-steps.js";
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

/** Between open ends, siemens: what a switched-off part leaks. */
const openSiemens = 1e-12;

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
  private readonly newton: NewtonSteps;
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
    this.newton = new NewtonSteps(this.system, this.branches);
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
    this.newton.rememberStart(part);
  }

  /** Makes a filament draw so many times its model's current; 1 for the lamp as it was built. */
  scaleFilament(id: string, scale: number): void {
    const branch = this.branches[this.indexOfPart(id)];
    if (!(branch instanceof FilamentBranch)) throw new RangeError(`"${id}" is not a filament`);
    branch.scale = scale;
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
    if (this.topology.isTie[index] === true) return this.ties.amps(index, this.branches);
    return this.branches[index]?.amps ?? 0;
  }

  /** Places of the nodes in `nodeVolts`. */
  get nodeIndex(): ReadonlyMap<string, number> {
    return this.topology.nodeIndex;
  }

  /** Lets the next warm run start from these voltages, by node index; nodes of which nothing is known stay where they were. */
  startFrom(voltsOf: (index: number) => number | undefined): void {
    const { unknown, offsetVolts } = this.topology;
    for (let index = 0; index < this.nodes.length; index++) {
      const at = unknown[index] ?? -1;
      const volts = at < 0 ? undefined : voltsOf(index);
      if (volts !== undefined) this.newton.unknownVolts[at] = volts - (offsetVolts[index] ?? 0);
    }
    this.solvedBefore = true;
  }

  /** The last answer, for `recall`; written into `into` where given. */
  remember(into: Float64Array = new Float64Array(this.newton.unknownVolts.length)): Float64Array {
    into.set(this.newton.unknownVolts);
    return into;
  }

  /** Lets the next warm run start from a remembered answer. */
  recall(answer: Float64Array): void {
    this.newton.unknownVolts.set(answer);
    this.solvedBefore = true;
  }

  /** The answers to small changes around the last run's answer; valid until the next run. */
  linearize(): SmallSignal {
    if (this.stale) this.stampLinear();
    this.newton.linearize();
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
    const tolerance = options.residualAmps ?? 5e-10;
    const most = this.regular ? (options.maxIterations ?? 200) : 0;
    const warm = options.warm === true && this.solvedBefore;
    let result = this.newton.run(warm, tolerance, most);
    // A start in the wrong corner can go astray where the parts' own working points do not.
    if (warm && result.kind !== "solved") result = this.newton.run(false, tolerance, most);
    this.spreadVolts();
    if (result.kind === "solved") {
      this.solvedBefore = true;
      return result;
    }
    const { kind, iterations, residualAmps, worst } = result;
    const worstNode = this.nodes[this.topology.unknown.indexOf(worst)] ?? "";
    return { kind, iterations, residualAmps, worstNode };
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

  private spreadVolts(): void {
    const { unknown, offsetVolts } = this.topology;
    for (let node = 0; node < this.nodeVolts.length; node++) {
      const at = unknown[node] as number;
      this.nodeVolts[node] = (at < 0 ? 0 : (this.newton.unknownVolts[at] as number)) + (offsetVolts[node] as number);
    }
  }
}
