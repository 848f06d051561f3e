import { propagate, type Uncertain } from "./propagate.js";

/** The low-current source: open voltage and what stands behind it, as a bench keeps them. */
export interface LowSourceFit {
  readonly volts: Uncertain;
  readonly ohms: Uncertain;
}

/**
 * From the volts at a pin with nothing on it but the bench's own divider, and with a known resistor beside that. With
 * V = Vo / (1 + R·G), G the conductance on the pin: R = (V0 - V1) / (V1·G1 - V0·G0).
 * Example: 4.367 V open and 2.192 V at 1000 Ω, with 133 kΩ → 4.400 V, 1000 Ω.
 */
export function fitLowSource(open: Uncertain, loaded: Uncertain, loadOhms: Uncertain, senseOhms: number): LowSourceFit {
  const inputs = [open, loaded, loadOhms];
  const ohmsOf = ([v0 = 0, v1 = 0, load = 1]: readonly number[]): number =>
    (v0 - v1) / (v1 * (1 / load + 1 / senseOhms) - v0 / senseOhms);
  const voltsOf = (values: readonly number[]): number => (values[0] ?? 0) * (1 + ohmsOf(values) / senseOhms);
  return { volts: propagate(voltsOf, inputs), ohms: propagate(ohmsOf, inputs) };
}
