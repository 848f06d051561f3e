/**
 * A probability in words and as a number, so that neither is taken for more than it is. The steps follow the scale of
 * climate reports (IPCC guidance note on uncertainties, 2010, from memory): 99, 90, 66, 33, 10 %.
 */
export function probabilityWords(probability: number): string {
  if (probability >= 0.99) return "almost certain";
  if (probability >= 0.9) return "very likely";
  if (probability >= 0.66) return "likely";
  if (probability >= 0.33) return "as likely as not";
  if (probability >= 0.1) return "unlikely";
  return "very unlikely";
}

/** `87 %`; nothing that was measured is ever quite certain. */
export function percentText(probability: number): string {
  if (probability > 0 && probability < 0.01) return "under 1\u00a0%";
  if (probability > 0.99) return "over 99\u00a0%";
  return `${Math.round(probability * 100)}\u00a0%`;
}
