/** Ohms as a shop reads them: three places below ten, fewer above. */
export function ohmsText(ohms: number): string {
  const places = Math.abs(ohms) < 10 ? 3 : Math.abs(ohms) < 1000 ? 1 : 0;
  const text = ohms.toFixed(places);
  return `${Number(text) === 0 ? (0).toFixed(places) : text.replace("-", "−")}\u00a0Ω`;
}

/** `0.021 ± 0.008 Ω`. */
export function doubtfulOhmsText({
  value,
  uncertainty,
}: {
  readonly value: number;
  readonly uncertainty: number;
}): string {
  return `${ohmsText(value).replace("\u00a0Ω", "")} ± ${ohmsText(uncertainty)}`;
}
