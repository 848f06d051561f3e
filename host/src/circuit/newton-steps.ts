import type { Branch } from "./branch.js";
import type { NodalSystem } from "./nodal-system.js";

/** How Newton's steps ended. `residualAmps` is the largest sum of currents left at any unknown, `worst` the unknown. */
export type NewtonResult =
  | { readonly kind: "solved"; readonly iterations: number; readonly residualAmps: number }
  | {
      readonly kind: "not-converged";
      readonly iterations: number;
      readonly residualAmps: number;
      readonly worst: number;
    };

/** Plain Newton steps before the steps are shortened by search. */
const plainIterations = 16;
/**
 * A step this small, volts, may end the iteration if the current law holds then: what is left is its square over twice
 * N·VT, below 50 µV, and only where next to no current flows.
 */
const settledVolts = 2e-3;
/** A part whose voltage moved less than this, volts, keeps its slope: the current is off by 1e-11 of its size. */
const sameVolts = 1e-7;

/**
 * Newton's steps on the nodal equations: every nonlinear part is replaced by its tangent, the linear network is solved, and
 * so on until the voltages stand still and the current law holds. Parts may hold a step back (`limit`); what has not
 * converged after a while goes on in steps that are shortened until they no longer overshoot. As every part's slope is
 * positive, there is one answer, and the shortened steps cannot circle.
 */
export class NewtonSteps {
  /** Voltage of every unknown. */
  readonly unknownVolts: Float64Array;
  private readonly step: Float64Array;
  private readonly residual: Float64Array;
  /** Where each nonlinear part was linearized, volts; with the current and slope of a cold start. */
  private readonly atVolts: Float64Array;
  private readonly startAmps: Float64Array;
  private readonly startSiemens: Float64Array;

  constructor(
    private readonly system: NodalSystem,
    private readonly branches: readonly Branch[],
  ) {
    const { size } = system.ldl;
    this.unknownVolts = new Float64Array(size);
    this.step = new Float64Array(size);
    this.residual = new Float64Array(size);
    this.atVolts = new Float64Array(branches.length);
    this.startAmps = new Float64Array(branches.length);
    this.startSiemens = new Float64Array(branches.length);
    for (const part of system.nonlinear) this.rememberStart(part);
  }

  /** Steps from the present voltages (`warm`) or from the parts' working points. */
  run(warm: boolean, tolerance: number, most: number): NewtonResult {
    const { system, unknownVolts, step } = this;
    const { active, answer } = system;
    this.start(warm);
    let searching = false;
    for (let iteration = 1; iteration <= most; iteration++) {
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
    return { kind: "not-converged", iterations: most, residualAmps, worst: this.worst() };
  }

  /** Linearizes every nonlinear part at the present voltages, with nothing held back. */
  linearize(): void {
    for (const part of this.system.nonlinear) this.linearizeAt(part, this.across(part));
    this.system.solve(this.atVolts);
  }

  /** Notes the working point of a part whose law has changed. */
  rememberStart(part: number): void {
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

  private worst(): number {
    let worst = 0;
    this.residual.forEach((amps, at) => {
      if (!(Math.abs(amps) <= Math.abs(this.residual[worst] ?? 0))) worst = at;
    });
    return worst;
  }
}
