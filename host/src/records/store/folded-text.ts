/**
 * The form in which texts are compared when somebody searches: compatibility forms joined, case, accents and control
 * characters dropped, blanks single. Ideographs stay.
 *
 * `foldedText("  Žluťoučký  KŮŇ ")` is `zlutoucky kun`.
 */
export function foldedText(text: string): string {
  return text
    .normalize("NFKD")
    .replace(/[\p{Mark}\p{Control}]/gu, (sign) => (/\s/.test(sign) ? " " : ""))
    .toLowerCase()
    .replace(/\s+/g, " ")
    .trim();
}

/** A serial number for exact comparison: folded, without the blanks and hyphens that people put in or leave out. */
export function serialKey(serial: string): string {
  return foldedText(serial).replace(/[\s\-._/]/g, "");
}
