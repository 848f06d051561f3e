import type { Bulb } from "./bulb.js";

/**
 * UN Regulation 37 categories at their test voltage (13.5 V in 12 V systems, 28.0 V in 24 V ones). The sheets give a
 * largest wattage with its tolerance already in it (26.5 W = 25 W + 6 %); the design current is the one of the middle,
 * and the tolerance is that percentage either way.
 */
interface Sheet {
  readonly id: string;
  readonly bright: { readonly maxWatts: number; readonly percent: number };
  readonly dim?: { readonly maxWatts: number; readonly percent: number };
  readonly grade: Bulb["grade"];
  readonly source: string;
}

const testVolts = { 12: 13.5, 24: 28 } as const;
const sheet = (id: string): string => `from memory: UN R37 / R.E.5 sheet ${id}`;
const w = (maxWatts: number, percent: number): { maxWatts: number; percent: number } => ({ maxWatts, percent });

const sheets12: readonly Sheet[] = [
  {
    id: "PY21/5W",
    bright: w(26.5, 6),
    dim: w(6.6, 10),
    grade: "B",
    source: "ECE/TRANS/WP.29/GRE/2012/34, sheet PY21/5W/1: objective 26.5 / 6.6 W max at 13.5 V",
  },
  { id: "P21W", bright: w(26.5, 6), grade: "D", source: sheet("P21W") },
  { id: "PY21W", bright: w(26.5, 6), grade: "D", source: sheet("PY21W") },
  { id: "P21/5W", bright: w(26.5, 6), dim: w(6.6, 10), grade: "D", source: sheet("P21/5W") },
  { id: "W21W", bright: w(26.5, 6), grade: "D", source: sheet("W21W") },
  { id: "WY21W", bright: w(26.5, 6), grade: "D", source: sheet("WY21W") },
  { id: "W21/5W", bright: w(26.5, 6), dim: w(6.6, 10), grade: "D", source: sheet("W21/5W") },
  { id: "H21W", bright: w(26.5, 6), grade: "D", source: sheet("H21W") },
  { id: "W16W", bright: w(21.35, 6), grade: "D", source: sheet("W16W") },
  { id: "R10W", bright: w(11, 10), grade: "D", source: sheet("R10W") },
  { id: "R5W", bright: w(5.5, 10), grade: "D", source: sheet("R5W") },
  { id: "W5W", bright: w(5.5, 10), grade: "D", source: sheet("W5W") },
  { id: "WY5W", bright: w(5.5, 10), grade: "D", source: sheet("WY5W") },
  { id: "C5W", bright: w(5.5, 10), grade: "D", source: sheet("C5W") },
  { id: "T4W", bright: w(4.4, 10), grade: "D", source: sheet("T4W") },
  { id: "W3W", bright: w(3.45, 15), grade: "D", source: sheet("W3W") },
  { id: "P27W", bright: w(32.1, 6), grade: "D", source: sheet("P27W") },
  { id: "P27/7W", bright: w(32.1, 6), dim: w(8.5, 6), grade: "D", source: sheet("P27/7W") },
];

const sheets24: readonly Sheet[] = [
  { id: "P21W", bright: w(29.7, 6), grade: "D", source: `${sheet("P21W")}, 24 V column` },
  { id: "PY21W", bright: w(29.7, 6), grade: "D", source: `${sheet("PY21W")}, 24 V column` },
  { id: "P21/5W", bright: w(29.7, 6), dim: w(11, 10), grade: "D", source: `${sheet("P21/5W")}, 24 V column` },
  { id: "H21W", bright: w(29.7, 6), grade: "D", source: `${sheet("H21W")}, 24 V column` },
  { id: "R10W", bright: w(14, 10), grade: "D", source: `${sheet("R10W")}, 24 V column` },
  { id: "R5W", bright: w(7.7, 10), grade: "D", source: `${sheet("R5W")}, 24 V column` },
  { id: "W5W", bright: w(7.7, 10), grade: "D", source: `${sheet("W5W")}, 24 V column` },
  { id: "C5W", bright: w(7.7, 10), grade: "D", source: `${sheet("C5W")}, 24 V column` },
  { id: "T4W", bright: w(5.5, 10), grade: "D", source: `${sheet("T4W")}, 24 V column` },
  { id: "W3W", bright: w(4.6, 15), grade: "D", source: `${sheet("W3W")}, 24 V column` },
];

function bulbOf(row: Sheet, nominalVolts: 12 | 24): Bulb {
  const volts = testVolts[nominalVolts];
  const rated = (part: { maxWatts: number; percent: number }): { volts: number; amps: number } => ({
    volts,
    amps: part.maxWatts / (1 + part.percent / 100) / volts,
  });
  return {
    id: row.id,
    nominalVolts,
    bright: rated(row.bright),
    ...(row.dim === undefined ? {} : { dim: rated(row.dim) }),
    tolerance: Math.max(row.bright.percent, row.dim?.percent ?? 0) / 100,
    grade: row.grade,
    source: row.source,
  };
}

export const bulbsR37: readonly Bulb[] = [
  ...sheets12.map((row) => bulbOf(row, 12)),
  ...sheets24.map((row) => bulbOf(row, 24)),
];
