import { type Branch, leakSiemens } from "./branch.js";

/**
 * An LED lamp with its ballast: nothing below the knee, then a straight line to `amps` at `volts`; regulated, it holds
 * `amps` from one volt above the knee. Blocks in reverse. Range: −50 V to 1.3 times `volts`; no temperature dependence.
 */
export interface LedModel {
  readonly amps: number;
  readonly volts: number;
  readonly kneeVolts: number;
  readonly regulated?: boolean;
}

/** Current at a voltage, amps. Example: 0.06 A at 12.8 V, knee 8 V, at 10.4 V → 0.03 A. */
export function ledAmps(model: LedModel, volts: number): number {
  const branch = new LedBranch(model);
  branch.evaluate(volts);
  return branch.amps;
}

export class LedBranch implements Branch {
  amps = 0;
  siemens = leakSiemens;
  readonly linear = false;
  readonly startVolts: number;
  private readonly slope: number;
  private readonly holdVolts: number;

  constructor(private readonly model: LedModel) {
    const riseVolts = model.regulated === true ? 1 : model.volts - model.kneeVolts;
    this.slope = model.amps / riseVolts;
    this.holdVolts = model.regulated === true ? model.kneeVolts + 1 : Number.POSITIVE_INFINITY;
    this.startVolts = model.regulated === true ? model.kneeVolts + 0.5 : model.volts;
  }

  evaluate(volts: number): void {
    const { kneeVolts, amps } = this.model;
    const leak = leakSiemens * volts;
    if (volts <= kneeVolts) {
      this.amps = leak;
      this.siemens = leakSiemens;
    } else if (volts >= this.holdVolts) {
      this.amps = amps + leak;
      this.siemens = leakSiemens;
    } else {
      this.amps = this.slope * (volts - kneeVolts) + leak;
      this.siemens = this.slope + leakSiemens;
    }
  }
}
