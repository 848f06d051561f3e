import type { Bulb, RatedFilament } from "./bulb.js";

/**
 * North American trade numbers. Tolerance: a lamp catalogue's "design amperes approximate plus or minus 10 percent" (C).
 * `source` names where watts, volts or amps were read, or says "from memory" and where they are normally published.
 */
const single = (id: string, volts: number, amps: number, grade: Bulb["grade"], source: string): Bulb => ({
  id,
  nominalVolts: 12,
  bright: { volts, amps },
  tolerance: 0.1,
  grade,
  source,
});
const double = (id: string, bright: RatedFilament, dim: RatedFilament, grade: Bulb["grade"], source: string): Bulb => ({
  id,
  nominalVolts: 12,
  bright,
  dim,
  tolerance: 0.1,
  grade,
  source,
});

const list = "from memory: SAE J573 / ANSI C78 lists";
const comparison = "12.8 V 2.1 A and 14.0 V 0.59 A read on a comparison page of 3156 and 3157";
const forum = "watts read in an owners' forum extract (1034, 1157, 2057), amps computed at the design volts";

export const bulbsNorthAmerica: readonly Bulb[] = [
  single(
    "1156",
    12.8,
    2.1,
    "B",
    "26.9 W, 402 lm read on a comparison page of 1141 and 1156; 12.8 V × 2.10 A = 26.88 W",
  ),
  double(
    "1157",
    { volts: 12.8, amps: 2.1 },
    { volts: 14, amps: 0.59 },
    "C",
    `27 / 8.3 W: ${forum}; 14.0 V × 0.59 A = 8.26 W`,
  ),
  double("2057", { volts: 12.8, amps: 2.1 }, { volts: 14, amps: 0.48 }, "C", `32 / 2 cp: ${forum}; amps ${list}`),
  single("3156", 12.8, 2.1, "C", comparison),
  double("3157", { volts: 12.8, amps: 2.1 }, { volts: 14, amps: 0.59 }, "C", comparison),
  double("3057", { volts: 12.8, amps: 2.1 }, { volts: 14, amps: 0.48 }, "D", list),
  double("1034", { volts: 12.8, amps: 1.8 }, { volts: 14, amps: 0.59 }, "C", `23 / 8.3 W: ${forum}`),
  single("1141", 12.8, 1.44, "C", "18.4 W, 264 lm read on a comparison page of 1141 and 1156"),
  single("1073", 12.8, 1.8, "C", `23 W: ${forum}`),
  single("194", 14, 0.27, "B", "3.78 W, 0.27 A, 2500 h and 2 cp, 3.8 W read on two pages; 14.0 V by arithmetic"),
  single("168", 14, 0.35, "B", "4.9 W, 0.35 A, 1500 h, 3 cp read on two pages"),
  single("67", 13.5, 0.59, "D", list),
  single("89", 13, 0.58, "D", list),
  single("97", 13.5, 0.69, "D", list),
  single("906", 13.5, 0.69, "D", list),
  single("912", 12.8, 1, "D", list),
  single("921", 12.8, 1.4, "D", list),
  single("7440", 12, 1.75, "D", "from memory: R37 category W21W, 21 W at 12 V"),
  double(
    "7443",
    { volts: 12, amps: 1.75 },
    { volts: 12, amps: 0.42 },
    "D",
    "from memory: R37 category W21/5W, 21 / 5 W at 12 V",
  ),
];
