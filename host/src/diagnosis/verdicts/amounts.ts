/** A voltage for a reason text, two decimals: `12.58 V`. */
export function inVolts(volts: number): string {
  return `${volts.toFixed(2)} V`;
}

/** A current for a reason text, two decimals: `2.03 A`. */
export function inAmps(amps: number): string {
  return `${amps.toFixed(2)} A`;
}

/** A resistance for a reason text, two digits that matter: `1.2 Ω`, `0.35 Ω`. */
export function inOhms(ohms: number): string {
  return `${ohms < 1 ? ohms.toFixed(2) : ohms.toFixed(1)} Ω`;
}
