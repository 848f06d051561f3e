import type { Branch, LinearBranch } from "./branch.js";
import { SparseLdl } from "./sparse-ldl.js";
import type { Topology } from "./topology.js";

/**
 * The nodal equations of a network: conductances and injected currents, stamped by parts that know only their branch.
 * Unknowns that no nonlinear part touches are eliminated once per change of the linear parts.
 */
export class NodalSystem {
  readonly ldl: SparseLdl;
  /** Ends of each part as unknowns, −1 for the reference. */
  readonly firstUnknown: Int32Array;
  readonly secondUnknown: Int32Array;
  /** Volts that rigid ties put between a part's ends beyond its unknowns. */
  readonly offsetVolts: Float64Array;
  readonly nonlinear: Int32Array;
  readonly linear: Int32Array;
  /** Unknowns that are solved for in every Newton step: those that a nonlinear part touches, and a few hubs. */
  readonly active: Int32Array;
  /** The answer of the last `solve`, valid for the active unknowns; for all after `complete`. */
  readonly answer: Float64Array;
  private readonly pairSlot: Int32Array;
  private readonly reducedRight: Float64Array;
  private readonly right: Float64Array;

  constructor(
    topology: Topology,
    private readonly branches: readonly Branch[],
  ) {
    // Plain loops here and below: a network is built for every fault that is weighed.
    const { ends, unknown, offsetVolts } = topology;
    this.firstUnknown = new Int32Array(ends.length);
    this.secondUnknown = new Int32Array(ends.length);
    this.offsetVolts = new Float64Array(ends.length);
    for (let part = 0; part < ends.length; part++) {
      const [a, b] = ends[part] as readonly [number, number];
      this.firstUnknown[part] = unknown[a] as number;
      this.secondUnknown[part] = unknown[b] as number;
      this.offsetVolts[part] = (offsetVolts[a] as number) - (offsetVolts[b] as number);
    }
    const parts = [...branches.keys()].filter((part) => topology.isTie[part] !== true);
    this.nonlinear = Int32Array.from(parts.filter((part) => branches[part]?.linear === false));
    this.linear = Int32Array.from(parts.filter((part) => branches[part]?.linear === true));
    const touched = new Uint8Array(topology.unknowns);
    for (const part of this.nonlinear) {
      const a = this.firstUnknown[part] as number;
      const b = this.secondUnknown[part] as number;
      if (a >= 0) touched[a] = 1;
      if (b >= 0) touched[b] = 1;
    }

    const pairs: [number, number][] = [];
    const pairAt = new Map<number, number>();
    this.pairSlot = new Int32Array(branches.length).fill(-1);
    for (const part of parts) {
      const a = this.firstUnknown[part] ?? -1;
      const b = this.secondUnknown[part] ?? -1;
      if (a < 0 || b < 0 || a === b) continue;
      const key = Math.min(a, b) * topology.unknowns + Math.max(a, b);
      let known = pairAt.get(key);
      if (known === undefined) {
        known = pairs.push([a, b]) - 1;
        pairAt.set(key, known);
      }
      this.pairSlot[part] = topology.unknowns + known;
    }
    this.ldl = new SparseLdl(topology.unknowns, pairs, (at) => touched[at] === 1);
    this.active = this.ldl.late;
    this.right = new Float64Array(topology.unknowns);
    this.reducedRight = new Float64Array(topology.unknowns);
    this.answer = new Float64Array(topology.unknowns);
  }

  /** Stamps the linear parts anew and eliminates what only they touch. False when a pivot vanished. */
  stampLinear(): boolean {
    this.ldl.values.fill(0);
    this.right.fill(0);
    for (const part of this.linear) {
      const branch = this.branches[part] as LinearBranch;
      const constant = branch.siemens * (this.offsetVolts[part] as number) - branch.offsetAmps;
      this.stamp(part, branch.siemens, constant, this.ldl.values);
    }
    const lost = this.ldl.factorEarly();
    this.ldl.reduce(this.right);
    this.reducedRight.set(this.right);
    return lost < 0;
  }

  /** Stamps the nonlinear parts, each linearized at `atVolts`, and solves for the active unknowns. False when a pivot vanished. */
  solve(atVolts: Float64Array): boolean {
    const { ldl, nonlinear, branches, offsetVolts, answer } = this;
    ldl.resume();
    this.right.set(this.reducedRight);
    for (let at = 0; at < nonlinear.length; at++) {
      const part = nonlinear[at] as number;
      const branch = branches[part] as Branch;
      const constant = branch.amps - branch.siemens * ((atVolts[part] as number) - (offsetVolts[part] as number));
      this.stamp(part, branch.siemens, constant, ldl.entries);
    }
    if (ldl.factorLate() >= 0) return false;
    answer.set(this.right);
    ldl.solveLate(answer);
    return true;
  }

  /** Makes `answer` whole from the active unknowns' volts. */
  complete(unknownVolts: Float64Array): void {
    const { answer, active } = this;
    answer.set(this.reducedRight);
    for (let at = 0; at < active.length; at++) {
      const unknown = active[at] as number;
      answer[unknown] = unknownVolts[unknown] as number;
    }
    this.ldl.complete(answer);
  }

  /** Volts across a part at given unknowns. */
  voltsAcross(part: number, unknownVolts: Float64Array): number {
    const a = this.firstUnknown[part] as number;
    const b = this.secondUnknown[part] as number;
    const first = a < 0 ? 0 : (unknownVolts[a] as number);
    const second = b < 0 ? 0 : (unknownVolts[b] as number);
    return first - second + (this.offsetVolts[part] as number);
  }

  private stamp(part: number, siemens: number, constantAmps: number, values: Float64Array): void {
    const a = this.firstUnknown[part] as number;
    const b = this.secondUnknown[part] as number;
    if (a === b) return;
    const { right } = this;
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
}
