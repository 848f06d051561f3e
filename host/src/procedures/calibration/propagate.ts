import { combinedCovariance } from "../../plan/gum.js";

/** A value with its standard uncertainty, in the value's unit. */
export interface Uncertain {
  readonly value: number;
  readonly u: number;
}

/**
 * A result with the standard uncertainty that its inputs give it: sensitivities by a central difference over one standard
 * uncertainty each, combined with the inputs' correlation (JCGM 100:2008, 5.1.3 and 5.2.2).
 * Example: 12.00(6) V over 2.00(2) A → 6.000(67) Ω.
 */
export function propagate(
  model: (values: readonly number[]) => number,
  inputs: readonly Uncertain[],
  correlation: (i: number, j: number) => number = () => 0,
): Uncertain {
  const changes = changesOf(model, inputs);
  const value = model(inputs.map((input) => input.value));
  return { value, u: Math.sqrt(Math.max(0, combinedCovariance(changes, changes, correlation))) };
}

/** Correlation of two results of the same inputs (JCGM 100:2008, H.2.3); 0 where one of them is exact. */
export function resultCorrelation(
  first: (values: readonly number[]) => number,
  second: (values: readonly number[]) => number,
  inputs: readonly Uncertain[],
  correlation: (i: number, j: number) => number = () => 0,
): number {
  const a = changesOf(first, inputs);
  const b = changesOf(second, inputs);
  const variances = combinedCovariance(a, a, correlation) * combinedCovariance(b, b, correlation);
  return variances <= 0 ? 0 : combinedCovariance(a, b, correlation) / Math.sqrt(variances);
}

function changesOf(model: (values: readonly number[]) => number, inputs: readonly Uncertain[]): readonly number[] {
  return inputs.map(({ u }, index) => {
    const shifted = (by: number): number =>
      model(inputs.map(({ value }, at) => (at === index ? value + by * u : value)));
    return (shifted(1) - shifted(-1)) / 2;
  });
}
