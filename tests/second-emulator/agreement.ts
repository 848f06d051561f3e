import type { Said } from "./golden-sequence.js";

/** One count of the converter: 16.1 mV behind the divider, 10 mA behind the x20 amplifier, 50 mA behind the x4 one. */
const COUNT_MILLIVOLTS = (4 * 133) / 33;
const COUNT_MILLIAMPS = 10;
const COARSE_COUNT_MILLIAMPS = 50;
/** The emulated bench has half a count of noise on each conversion, the other none; three times that of a mean of 16 or more. */
const NOISE_OF_MEAN = 0.4;
/** Three times that of the greatest of some hundred conversions. */
const NOISE_OF_EXTREME = 2;
/** What the x20 amplifier reads at most; above, the x4 one is believed. */
const FINE_MILLIAMPS = 10_150;

/** Most by which the two may differ in a field; undefined where they must be equal. */
function tolerance(name: string, value: number): number | undefined {
  const current = value > FINE_MILLIAMPS ? COARSE_COUNT_MILLIAMPS : COUNT_MILLIAMPS;
  switch (name) {
    case "volts":
    case "supply":
      return COUNT_MILLIVOLTS * (1 + NOISE_OF_MEAN);
    case "current":
      return current * (1 + NOISE_OF_MEAN);
    case "peak":
    case "spread":
      return COARSE_COUNT_MILLIAMPS * (1 + NOISE_OF_EXTREME);
    case "temperature":
      return 2;
    // One count at the converter itself.
    case "ground":
    case "spare":
    case "thermistor":
    case "bandgap":
      return 4 * (1 + NOISE_OF_MEAN);
    // Noise may put settling off by a window of 10 ms, and so everything that follows.
    case "settle":
      return 20;
    case "samples":
      return 40;
    case "wait":
      return 60;
    case "uptime":
      return 200;
    default:
      return undefined;
  }
}

/** Where the two have not said the same, in words; empty when they agree. */
export function disagreements(one: readonly Said[], other: readonly Said[]): string[] {
  const words = one.flatMap((said, at) => {
    const theirs = other[at];
    if (theirs === undefined) return [`only one said ${said.what} after ${said.after}`];
    if (said.what !== theirs.what) return [`after ${said.after}: ${said.what} and ${theirs.what}`];
    return differences(said, theirs);
  });
  if (other.length > one.length) words.push(`only the other said ${other[one.length]?.what}`);
  return words;
}

/** Greatest difference of a voltage and of a fine current, in counts of the converter. */
export function greatestDifference(one: readonly Said[], other: readonly Said[]): { volts: number; current: number } {
  const greatest = { volts: 0, current: 0 };
  for (const [at, said] of one.entries()) {
    for (const [name, value] of Object.entries(said.fields)) {
      if (name !== "volts" && name !== "current") continue;
      const pairs = [value].flat().map((mine, index) => [mine, [other[at]?.fields[name]].flat()[index]]);
      for (const [mine, theirs] of pairs) {
        if (typeof mine !== "number" || typeof theirs !== "number" || (name === "current" && mine > FINE_MILLIAMPS))
          continue;
        const counts = Math.abs(mine - theirs) / (name === "volts" ? COUNT_MILLIVOLTS : COUNT_MILLIAMPS);
        greatest[name] = Math.max(greatest[name], counts);
      }
    }
  }
  return greatest;
}

function differences(said: Said, theirs: Said): string[] {
  return Object.entries(said.fields).flatMap(([name, value]) => {
    const mine = [value].flat();
    const yours = [theirs.fields[name]].flat();
    const agree =
      mine.length === yours.length && mine.every((one, at) => near(name, one as unknown, yours[at] as unknown));
    return agree ? [] : [`after ${said.after}, ${said.what} ${name}: ${mine} and ${yours}`];
  });
}

function near(name: string, mine: unknown, yours: unknown): boolean {
  if (typeof mine !== "number" || typeof yours !== "number") return mine === yours;
  return Math.abs(mine - yours) <= (tolerance(name, mine) ?? 0);
}
