/**
 * `problem`: it will not work or not be safe; `warning`: look again before cutting; `note`: a figure to know.
 */
export type Severity = "problem" | "warning" | "note";

/** One thing that the check of a plan has to say. `value` and `limit` carry the same `unit`. */
export interface Remark {
  readonly code: string;
  readonly severity: Severity;
  /** A sentence for people, figures included. */
  readonly text: string;
  readonly value?: number;
  readonly limit?: number;
  readonly unit?: "V" | "A" | "W" | "%" | "mm²";
  /** Where the limit comes from. */
  readonly source: string;
  /** Place in the plan: `lamp:left-rear.bright`, `wire:LT`, `pin:GD`, `socket:left-rear`, `plan`. */
  readonly where: string;
}

/** A figure for a sentence: three significant digits, no trailing noise. Example: 11.4878 → "11.5". */
export function figure(value: number): string {
  return String(Number(value.toPrecision(3)));
}

/** Where no published source is known. */
export const practice = "common practice, no source";
