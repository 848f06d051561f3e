import { type Branch, leakSiemens } from "./branch.js";

/**
 * The junction diode I = IS·(exp((V − I·RS)/(N·VT)) − 1), the law of SPICE's diode below breakdown.
 * Range: −50 °C to 150 °C, from reverse voltages below the rating up to surge current; no breakdown, no capacitance.
 */
export interface DiodeModel {
  /** IS at `nominalCelsius`, amps. */
  readonly saturationAmps: number;
  /** N. */
  readonly ideality: number;
  /** RS, ohms. */
  readonly seriesOhms: number;
  /** EG of SPICE, eV: 1.11 for silicon, 0.69 for a Schottky barrier. Default 1.11. */
  readonly gapVolts?: number;
  /** XTI of SPICE: 3 for a junction, 2 for a Schottky barrier. Default 3. */
  readonly saturationExponent?: number;
  /** TNOM of SPICE, the temperature at which `saturationAmps` holds. Default 27 °C. */
  readonly nominalCelsius?: number;
}

/** k/q in volts per kelvin (exact in the SI of 2019: 1.380649e-23 / 1.602176634e-19). */
const boltzmannOverCharge = 1.380649e-23 / 1.602176634e-19;

/** VT = kT/q in volts. Example: 27 °C → 0.0258649 V. */
export function thermalVolts(celsius: number): number {
  return boltzmannOverCharge * (celsius + 273.15);
}

/** IS at `celsius`, amps, by SPICE's law: IS·exp((T/Tnom − 1)·EG/(N·VT))·(T/Tnom)^(XTI/N). */
export function saturationAmpsAt(model: DiodeModel, celsius: number): number {
  const nominal = (model.nominalCelsius ?? 27) + 273.15;
  const ratio = (celsius + 273.15) / nominal;
  const gap = model.gapVolts ?? 1.11;
  const exponent = ((ratio - 1) * gap) / (model.ideality * thermalVolts(celsius));
  return model.saturationAmps * Math.exp(exponent) * ratio ** ((model.saturationExponent ?? 3) / model.ideality);
}

/** Forward voltage at a current, volts. Example: IS 76.9 nA, N 1.45, RS 42 mΩ at 1.612924 A, 27 °C → 0.7000 V. */
export function diodeVoltsAt(model: DiodeModel, amps: number, celsius: number): number {
  const saturation = saturationAmpsAt(model, celsius);
  return model.ideality * thermalVolts(celsius) * Math.log1p(amps / saturation) + amps * model.seriesOhms;
}

/** Solves w + ln w = x, the Wright omega function, to full precision. */
function wrightOmega(x: number): number {
  if (x < -12) {
    const small = Math.exp(x);
    return small * (1 - small * (1 - 1.5 * small));
  }
  let w = x > 1 ? x - Math.log(x) : Math.exp(x > -2 ? 0.64 * x - 0.57 : x);
  for (let step = 0; step < 6; step++) {
    // Fritsch, Shafer and Crowley's step (CACM 16, 1973, algorithm 443): fourth order.
    const error = x - w - Math.log(w);
    const base = 2 * (1 + w) * (1 + w + (2 / 3) * error);
    const change = ((error / (1 + w)) * (base - error)) / (base - 2 * error);
    w *= 1 + change;
    if (Math.abs(change) < 1e-3) return w;
  }
  return w;
}

/**
 * A diode as one branch. The series resistance is folded in by the Wright omega function instead of an inner node: the
 * network stays small, and the slope is bounded by 1/RS, so that Newton's steps need no limiting.
 */
export class DiodeBranch implements Branch {
  amps = 0;
  siemens = leakSiemens;
  readonly linear = false;
  readonly startVolts: number;
  private readonly scaleVolts: number;
  private readonly saturation: number;
  private readonly seriesOhms: number;
  private readonly criticalVolts: number;
  private readonly tangentVolts: number;
  private readonly logOffset: number;
  private readonly limited: boolean;

  constructor(model: DiodeModel, celsius: number) {
    this.seriesOhms = model.seriesOhms;
    this.scaleVolts = model.ideality * thermalVolts(celsius);
    this.saturation = saturationAmpsAt(model, celsius);
    this.criticalVolts = this.scaleVolts * Math.log(this.scaleVolts / (Math.SQRT2 * this.saturation));
    this.startVolts = this.criticalVolts;
    this.tangentVolts = this.scaleVolts * Math.log(1e6 / this.saturation);
    this.limited = model.seriesOhms * 20 < 1e-3;
    this.logOffset =
      Math.log((this.saturation * model.seriesOhms) / this.scaleVolts) +
      (this.saturation * model.seriesOhms) / this.scaleVolts;
  }

  evaluate(volts: number): void {
    const { scaleVolts, saturation, seriesOhms } = this;
    if (seriesOhms > 0) {
      const omega = wrightOmega(this.logOffset + volts / scaleVolts);
      this.amps = (scaleVolts * omega) / seriesOhms - saturation + leakSiemens * volts;
      this.siemens = omega / ((1 + omega) * seriesOhms) + leakSiemens;
    } else {
      // Beyond a million amps the tangent goes on, so that a wild step stays finite.
      const knee = Math.min(volts, this.tangentVolts);
      const growth = saturation * Math.exp(knee / scaleVolts);
      const slope = growth / scaleVolts;
      this.amps = growth - saturation + slope * (volts - knee) + leakSiemens * volts;
      this.siemens = slope + leakSiemens;
    }
  }

  /**
   * Where the next linearization is taken. Below the knee, at the voltage of the current that the slope promised: a diode
   * that turns off is there in one step instead of one N·VT at a time. Above it, at the voltage itself, as the series
   * resistance bounds the slope; where that is too small, by SPICE's junction limiting (Nagel, UCB/ERL M520, 1975).
   */
  limit(volts: number, previousVolts: number): number {
    const { scaleVolts } = this;
    const change = volts - previousVolts;
    if (Math.abs(change) <= 0.5 * scaleVolts) return volts;
    if (change < 0 || volts < this.criticalVolts) {
      const amps = this.amps + this.siemens * change;
      if (amps <= 0) return Math.min(volts, 0);
      return scaleVolts * Math.log1p(amps / this.saturation) + amps * this.seriesOhms;
    }
    if (!this.limited) return volts;
    if (previousVolts <= 0) return scaleVolts * Math.log(volts / scaleVolts);
    return previousVolts + scaleVolts * Math.log1p(change / scaleVolts);
  }
}
