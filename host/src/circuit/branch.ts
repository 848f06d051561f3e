/**
 * What the solver sees of a part: a current that depends on the voltage across it, and on nothing else.
 * `evaluate` leaves the current and its slope in `amps` and `siemens`; it allocates nothing, as it runs in the inner loop.
 */
export interface Branch {
  /** Current from the first node to the second at the last evaluated voltage, amps. */
  amps: number;
  /** Slope of that current, siemens; never negative. */
  siemens: number;
  /** A linear branch is evaluated once per solve. */
  readonly linear: boolean;
  /** Voltage at which the first linearization is taken, volts: near where a working part sits. */
  readonly startVolts: number;
  evaluate(volts: number): void;
  /** Shortens a step that would leave the range in which the slope says anything; absent where no step is too long. */
  limit?(volts: number, previousVolts: number): number;
}

/** Conductance across every nonlinear part, siemens: SPICE's GMIN of the same size. It keeps a blocked part from floating a node. */
export const leakSiemens = 1e-12;

/** A branch whose current is `siemens · volts − offsetAmps`. */
export class LinearBranch implements Branch {
  amps = 0;
  readonly linear = true;
  readonly startVolts = 0;
  constructor(
    public siemens: number,
    public offsetAmps: number,
  ) {}
  evaluate(volts: number): void {
    this.amps = this.siemens * volts - this.offsetAmps;
  }
}
