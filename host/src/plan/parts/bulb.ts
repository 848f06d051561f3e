import type { Sourced } from "./sourced.js";

export type FilamentName = "bright" | "dim";

/** One filament's design point, volts and amps. */
export interface RatedFilament {
  readonly volts: number;
  readonly amps: number;
}

export interface Bulb extends Sourced {
  /** Trade number or UN R37 category, as printed on the bulb. */
  readonly id: string;
  /** System voltage; a category of UN R37 exists for 12 and for 24 V. */
  readonly nominalVolts: number;
  readonly bright: RatedFilament;
  readonly dim?: RatedFilament;
  /** Relative limits of the current at design volts (rectangular). */
  readonly tolerance: number;
}
