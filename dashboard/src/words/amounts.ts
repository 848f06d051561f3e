/** Three meaningful digits, as a shop's meter shows them: 0.271, 2.05, 14.7. */
function digits(value: number, like: number): string {
  const size = Math.abs(like);
  const places = size < 1 ? 3 : size < 10 ? 2 : 1;
  const text = value.toFixed(places);
  // A true minus sign, and no "−0.00".
  return Number(text) === 0 ? (0).toFixed(places) : text.replace("-", "−");
}

/** The number alone; `like` gives the size whose precision is wanted, so that a live number keeps its width. */
export function ampsNumber(amps: number, like = amps): string {
  return digits(amps, like);
}

export function ampsText(amps: number, like = amps): string {
  return `${digits(amps, like)}\u00a0A`;
}

/** `1.80–2.26 A`. */
export function bandText(low: number, high: number): string {
  return `${digits(low, high)}–${digits(high, high)}\u00a0A`;
}

export function voltsText(volts: number): string {
  const text = volts.toFixed(2);
  return `${Number(text) === 0 ? "0.00" : text.replace("-", "−")}\u00a0V`;
}

export function millisecondsText(ms: number): string {
  return ms < 1000 ? `${Math.round(ms)}\u00a0ms` : `${(ms / 1000).toFixed(2)}\u00a0s`;
}

/** Milliohms matter in a cable: `0.083 Ω`, `1.52 Ω`. */
export function ohmsText(ohms: number): string {
  return `${digits(ohms, ohms)}\u00a0Ω`;
}
