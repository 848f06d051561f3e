import type { StatedUncertainty } from "../../bench/bench-calibration.js";

/** `volts to 0.12 % and 3.1 mV, amps to 0.40 % and 6.0 mA`: relative part and offset, at k = 1. */
export function uncertaintyWords({ volts, amps }: StatedUncertainty): string {
  const part = (one: StatedUncertainty["volts"], unit: string) =>
    `${(one.relative * 100).toFixed(2)}\u00a0% and ${(one.offset * 1000).toFixed(1)}\u00a0${unit}`;
  return `volts to ${part(volts, "mV")}, amps to ${part(amps, "mA")} (standard uncertainty)`;
}
