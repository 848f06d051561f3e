import { type Branch, leakSiemens } from "./branch.js";
import { tungstenKelvinAt, tungstenResistivity } from "./tungsten.js";

/**
 * A filament by its design point. R(V) = Rcold·(1 + (V/Vknee)²)^((1 − e)/2): at design volts and above a third of them
 * I = I₀·(V/V₀)^e with e = 0.55 (lamp rerating, Standard Handbook for Electrical Engineers, 11th ed., p. 22-8); at a few
 * millivolts the cold resistance. Range: 0 to 1.3 times the design volts.
 */
export interface FilamentModel {
  readonly designVolts: number;
  readonly designAmps: number;
  /** Hot resistance at design volts over the resistance at 20 °C; published 13 to 15. Default 14. */
  readonly coldRatio?: number;
  /** Exponent of current over voltage. Default 0.55. */
  readonly currentExponent?: number;
}

export interface FilamentConstants {
  readonly coldOhms: number;
  readonly kneeVolts: number;
  readonly exponent: number;
}

export const defaultColdRatio = 14;
export const defaultCurrentExponent = 0.55;

/** Temperature at the design point, kelvin: the one at which tungsten has risen by the cold ratio. */
export function designKelvin(model: FilamentModel): number {
  return tungstenKelvinAt(model.coldRatio ?? defaultColdRatio);
}

/** Resistance at a filament temperature, ohms. Example: 12.8 V 2.10 A at 293.15 K → 0.435 Ω. */
export function filamentOhmsAt(model: FilamentModel, kelvin: number): number {
  const designOhms = model.designVolts / model.designAmps;
  return (designOhms * tungstenResistivity(kelvin)) / tungstenResistivity(designKelvin(model));
}

/** The two constants of the settled law at an ambient temperature: the design point stays, the cold resistance follows. */
export function filamentConstants(model: FilamentModel, celsius: number): FilamentConstants {
  const exponent = (1 - (model.currentExponent ?? defaultCurrentExponent)) / 2;
  const coldOhms = filamentOhmsAt(model, celsius + 273.15);
  const rise = model.designVolts / model.designAmps / coldOhms;
  return { coldOhms, exponent, kneeVolts: model.designVolts / Math.sqrt(rise ** (1 / exponent) - 1) };
}

/** Settled current, amps. Example: 12.8 V 2.10 A at 12.0 V → 2.027 A. */
export function filamentAmps(model: FilamentModel, volts: number, celsius = 20): number {
  const branch = new FilamentBranch(model, celsius);
  branch.evaluate(volts);
  return branch.amps;
}

/** A filament as a branch: settled, or held at the resistance that its temperature gives it. */
export class FilamentBranch implements Branch {
  amps = 0;
  siemens = leakSiemens;
  readonly linear = false;
  readonly startVolts: number;
  /** Ohms at which the filament is held; undefined while it follows the settled law. */
  heldOhms: number | undefined;
  /** So many times the model's current at any voltage, held or not: a lamp of another size. */
  scale = 1;
  private readonly constants: FilamentConstants;

  constructor(model: FilamentModel, celsius: number) {
    this.constants = filamentConstants(model, celsius);
    this.startVolts = model.designVolts;
  }

  evaluate(volts: number): void {
    if (this.heldOhms !== undefined) {
      this.siemens = this.scale / this.heldOhms;
      this.amps = volts * this.siemens;
      return;
    }
    const { coldOhms, kneeVolts, exponent } = this.constants;
    const knees = volts / kneeVolts;
    const square = knees * knees;
    // A power, by logarithm: half the time of the general one in the inner loop. Most lamps of a network are dark: near
    // zero volts the first two terms are exact to the last bit.
    const power = square < 1e-8 ? 1 - exponent * square : Math.exp(-exponent * Math.log(1 + square));
    const chord = (this.scale * power) / coldOhms;
    this.amps = volts * chord;
    this.siemens = chord * (1 - (2 * exponent * square) / (1 + square));
  }

  /**
   * The tangent at a hot point overshoots zero by 0.8 of the way and would swing for dozens of steps: a step across zero
   * ends at zero, where the filament is cold, and from there steps only fall short.
   */
  limit(volts: number, previousVolts: number): number {
    return this.heldOhms === undefined && volts * previousVolts < 0 ? 0 : volts;
  }
}
