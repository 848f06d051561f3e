import type { Sourced } from "./sourced.js";

/** Blade fuse ratings with their body colours. */
export interface Fuse extends Sourced {
  readonly amps: number;
  readonly colour: string;
}

const row = (amps: number, colour: string): Fuse => ({
  amps,
  colour,
  grade: "D",
  source: "from memory: ISO 8820-3 / DIN 72581 blade fuse colours",
});

export const fuses: readonly Fuse[] = [
  row(1, "black"),
  row(2, "grey"),
  row(3, "violet"),
  row(4, "pink"),
  row(5, "tan"),
  row(7.5, "brown"),
  row(10, "red"),
  row(15, "blue"),
  row(20, "yellow"),
  row(25, "clear"),
  row(30, "green"),
  row(40, "amber"),
];

/** A fuse carries three quarters of its rating for long (from memory: blade fuse makers' application notes). */
export const fuseLongTermShare = 0.75;
