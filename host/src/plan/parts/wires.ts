import type { Sourced } from "./sourced.js";

/** The numbering that a wire's size is told in. SAE wire is 5 to 11 % smaller than AWG of the same number. */
export type WireSystem = "awg" | "sae" | "mm2";

export interface Wire extends Sourced {
  readonly system: WireSystem;
  readonly size: number;
  readonly squareMm: number;
  /** At 20 °C. */
  readonly milliohmsPerMetre: number;
  /** What it carries for long, amps, with a source of its own. */
  readonly carries: { readonly amps: number } & Sourced;
  /** The fuse that usually protects it, amps. */
  readonly fuse: { readonly amps: number } & Sourced;
}

/** IACS 100 % copper at 20 °C, Ω·mm²/m (IEC 60028, from memory; "1.724e-8" read). */
export const copperOhmSquareMmPerMetre = 0.017241;
/** Temperature coefficient of copper's resistance at 20 °C, 1/K (IEC 60028, from memory; 0.00393 gives the factors of IEC 60228 within 0.1 %). */
export const copperPerKelvin = 0.00393;

/** Area of an AWG size, mm². ASTM B258: d = 0.127 mm × 92^((36 − n)/39). Example: 16 → 1.309. */
export function awgSquareMm(size: number): number {
  return (Math.PI / 4) * (0.127 * 92 ** ((36 - size) / 39)) ** 2;
}

/** Area of a circular mil, mm². */
export const squareMmPerCircularMil = (Math.PI / 4) * 0.0254 ** 2;

const trailerCable = "largest current at 120 °F, trailer wiring page of a lighting maker";
const memoryAmps = "from memory: automotive practice";
const carries = (amps: number, grade: Sourced["grade"], source: string): Wire["carries"] => ({ amps, grade, source });
const fuse = (amps: number): Wire["fuse"] => ({ amps, grade: "D", source: "from memory: automotive practice" });

const awg = (size: number, carried: Wire["carries"], fuseAmps: number): Wire => ({
  system: "awg",
  size,
  squareMm: awgSquareMm(size),
  milliohmsPerMetre: (1000 * copperOhmSquareMmPerMetre) / awgSquareMm(size),
  carries: carried,
  fuse: fuse(fuseAmps),
  grade: "B",
  source: "diameter by ASTM B258, resistance of IACS copper; agrees with two printed wire tables within 0.3 %",
});

const sae = (
  size: number,
  circularMils: number,
  grade: Sourced["grade"],
  carried: Wire["carries"],
  fuseAmps: number,
): Wire => {
  const squareMm = circularMils * squareMmPerCircularMil;
  return {
    system: "sae",
    size,
    squareMm,
    milliohmsPerMetre: (1000 * copperOhmSquareMmPerMetre) / squareMm,
    carries: carried,
    fuse: fuse(fuseAmps),
    grade,
    source:
      grade === "D"
        ? "circular mils from memory (SAE J1127 / J1128), resistance of IACS copper"
        : "circular mils read in a marine retailer's table of SAE sizes, resistance of IACS copper",
  };
};

const metric = (squareMm: number, milliohmsPerMetre: number, amps: number, fuseAmps: number): Wire => ({
  system: "mm2",
  size: squareMm,
  squareMm,
  milliohmsPerMetre,
  carries: carries(amps, "D", `${memoryAmps}, from the AWG size of the same area`),
  fuse: fuse(fuseAmps),
  grade: "B",
  source: "IEC 60228 class 5, plain copper, largest resistance at 20 °C",
});

export const wires: readonly Wire[] = [
  awg(8, carries(69, "D", memoryAmps), 50),
  awg(10, carries(50, "C", trailerCable), 40),
  awg(12, carries(40, "C", trailerCable), 30),
  awg(14, carries(27, "C", trailerCable), 20),
  awg(16, carries(22, "C", trailerCable), 15),
  awg(18, carries(18, "C", trailerCable), 10),
  awg(20, carries(15, "C", trailerCable), 7.5),
  sae(8, 14_810, "D", carries(69, "D", memoryAmps), 50),
  sae(10, 9_343, "C", carries(50, "C", trailerCable), 40),
  sae(12, 5_833, "C", carries(40, "C", trailerCable), 30),
  sae(14, 3_702, "C", carries(27, "C", trailerCable), 20),
  sae(16, 2_336, "C", carries(22, "C", trailerCable), 15),
  sae(18, 1_537, "C", carries(18, "C", trailerCable), 10),
  metric(0.5, 39, 11, 5),
  metric(0.75, 26, 15, 7.5),
  metric(1, 19.5, 19, 10),
  metric(1.5, 13.3, 24, 15),
  metric(2.5, 7.98, 32, 25),
  metric(4, 4.95, 42, 30),
  metric(6, 3.3, 54, 40),
];

/** Ohms of a length of wire. Example: AWG 16, 5.8 m, 20 °C → 0.0764 Ω. */
export function wireOhms(wire: Wire, metres: number, celsius = 20): number {
  return (wire.milliohmsPerMetre / 1000) * metres * (1 + copperPerKelvin * (celsius - 20));
}
