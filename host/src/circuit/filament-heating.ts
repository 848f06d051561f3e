import { designKelvin, type FilamentModel, filamentConstants, filamentOhmsAt } from "./filament.js";
import { tungstenDensity, tungstenResistivity, tungstenSpecificHeat } from "./tungsten.js";

/**
 * How a filament heats up: its temperature is the one state. It stores heat in its tungsten and loses it by the law that
 * makes the settled current exactly that of `filament.ts`.
 */
export interface FilamentHeating {
  /** Ohms of the filament at a temperature. */
  ohmsAt(kelvin: number): number;
  /** Temperature after `dtSeconds` under steady volts across the filament; any step length is stable. */
  step(kelvin: number, volts: number, dtSeconds: number): number;
  /** Heat given off at a temperature, watts. */
  lossWatts(kelvin: number): number;
  readonly joulesPerKelvinAt: (kelvin: number) => number;
  readonly ambientKelvin: number;
}

/**
 * Emissivity of tungsten near 2600 K (from memory: 0.33). A coil's windings shade each other, and gas carries heat away: the
 * two are taken to cancel, which puts a 100 W 120 V lamp near the published 0.1 s until its current is stable.
 */
const coilEmissivity = 0.33;
const stefanBoltzmann = 5.670374e-8;

/**
 * Mass of the wire, kg, from its watts, ohms and temperature: the surface follows from the radiation, length and
 * thickness from surface and resistance. Mass goes as P^(5/3)/V^(2/3), so the time scale goes as (P/V)^(2/3).
 * Example: 12.8 V 2.10 A → about 10 mg.
 */
function filamentKilograms(model: FilamentModel): number {
  const kelvin = designKelvin(model);
  const watts = model.designVolts * model.designAmps;
  const ohms = model.designVolts / model.designAmps;
  const surface = watts / (coilEmissivity * stefanBoltzmann * kelvin ** 4);
  const ohmMetres = tungstenResistivity(kelvin) * 1e-8;
  const thickness = Math.cbrt((4 * ohmMetres * surface) / (Math.PI ** 2 * ohms));
  return (tungstenDensity * thickness * surface) / 4;
}

/** The heating model of one filament. Volts, ohms, watts, kelvin, seconds; `ambientC` in °C. */
export function filamentHeating(model: FilamentModel, ambientC = 20): FilamentHeating {
  const { coldOhms, kneeVolts, exponent } = filamentConstants(model, ambientC);
  const kilograms = filamentKilograms(model);
  const scaleWatts = kneeVolts ** 2 / coldOhms;
  const ohmsAt = (kelvin: number): number => filamentOhmsAt(model, kelvin);
  const joulesPerKelvinAt = (kelvin: number): number => kilograms * tungstenSpecificHeat(kelvin);
  const lossWatts = (kelvin: number): number => {
    const rise = ohmsAt(kelvin) / coldOhms;
    // The settled law turned round: V² = Vknee²·(rise^(1/exponent) − 1), and the loss is V²/R.
    return (scaleWatts * (rise ** (1 / exponent) - 1)) / rise;
  };
  const netWatts = (kelvin: number, volts: number): number => volts ** 2 / ohmsAt(kelvin) - lossWatts(kelvin);
  const step = (kelvin: number, volts: number, dtSeconds: number): number => {
    const net = netWatts(kelvin, volts);
    const slope = netWatts(kelvin + 0.5, volts) - netWatts(kelvin - 0.5, volts);
    // Linearly implicit Euler: the slope is negative, so the step cannot overshoot without bound.
    const next = kelvin + (dtSeconds * net) / (joulesPerKelvinAt(kelvin) - dtSeconds * slope);
    return Math.min(Math.max(next, 220), 3500);
  };
  return { ohmsAt, step, lossWatts, joulesPerKelvinAt, ambientKelvin: ambientC + 273.15 };
}
