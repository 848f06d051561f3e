/**
 * Where a row of the parts library comes from. Grades: A reproduced to the printed digits, B read in a primary text or
 * in two or more others, C read once in a secondary text, D from memory. A grade D row says "from memory" in its source.
 */
export interface Sourced {
  readonly source: string;
  readonly grade: "A" | "B" | "C" | "D";
}

/** Rows that a shop added itself carry this in place of a published source. */
export const shopSource = "the shop's own parts file";
