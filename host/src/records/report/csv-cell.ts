/**
 * Characters with which a spreadsheet takes a cell for a formula, full-width forms too (OWASP, "CSV Injection", names
 * = + - @, tab, carriage return and their full-width forms).
 */
const startsFormula = /^(?:[\s\p{Control}\p{Format}]*[=+\-@|%\uff1d\uff0b\uff0d\uff20]|[\t\r\n])/u;

/**
 * A cell of a CSV file (RFC 4180). Numbers stay numbers; a text that a spreadsheet could take for a formula gets an
 * apostrophe in front.
 *
 * `csvCell('=1+1')` is `"'=1+1"` in quotes.
 */
export function csvCell(value: string | number | null | undefined): string {
  if (value === null || value === undefined) return "";
  if (typeof value === "number") return Number.isFinite(value) ? String(value) : "";
  const text = startsFormula.test(value) ? `'${value}` : value;
  return /[",\r\n;\t']/.test(text) || text !== text.trim() ? `"${text.replaceAll('"', '""')}"` : text;
}

/** Rows as a CSV file: UTF-8 with its mark so that spreadsheets know it, CR LF at each line's end. */
export function csvFile(
  titles: readonly string[],
  rows: readonly (readonly (string | number | null | undefined)[])[],
): string {
  return `\uFEFF${[titles, ...rows].map((row) => `${row.map(csvCell).join(",")}\r\n`).join("")}`;
}
