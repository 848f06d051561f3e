/**
 * How often each fault is met at one place of its kind, before anything is measured, in a finished or an older tow
 * wiring. From memory of the trade, no source: dead bulbs and bad crimps, splices and grounds are common, a conductor
 * broken inside a sound length of wire is not, two joined conductors are rarer still. Only ratios matter much.
 */
const chancePerPlace: Readonly<Record<string, number>> = {
  "open pin": 0.012,
  "open far": 0.012,
  "open wire": 0.006,
  "open feed": 0.012,
  "open lamp": 0.02,
  "open socket-ground": 0.008,
  "open ground-bond": 0.012,
  "high-resistance pin": 0.012,
  "high-resistance far": 0.012,
  "high-resistance wire": 0.006,
  "high-resistance feed": 0.01,
  "high-resistance socket-ground": 0.01,
  "high-resistance ground-bond": 0.015,
  "short-to-ground wire": 0.008,
  "short-to-ground lamp-feed": 0.006,
  "short-to-power pin": 0.006,
  "bridge wire": 0.004,
  "bridge lamp-feed": 0.002,
  "swap pin": 0.008,
  "swap far": 0.008,
  "diode-shorted feed": 0.008,
  "factory-diode-shorted lamp-feed": 0.005,
  "diode-reversed feed": 0.008,
  "wrong-lamp lamp": 0.008,
};

/** For a kind at a place that the table does not name. */
const otherwise = 0.002;

/** The ground wire is white, thick and alone: it is seldom exchanged with another. */
const groundSwapShare = 0.2;

/** Chance of the fault kind at a place such as `lamp:left-rear.dim`; `groundPin` is the plan's. */
export function faultPrior(kind: string, at: string, groundPin: string): number {
  const placeKind = at.split(":")[0] ?? at;
  const chance = chancePerPlace[`${kind} ${placeKind}`] ?? otherwise;
  const grounds = kind === "swap" && at.split("+").some((place) => place.endsWith(`:${groundPin}`));
  return grounds ? chance * groundSwapShare : chance;
}

/**
 * A series resistance that counts as a fault, ohms: log-normal around 1.5 Ω. Below some tenths of an ohm it is within
 * what sound contacts scatter, above some tens the circuit is open for a lamp. From memory, no source.
 */
export const faultOhms = { median: 1.5, logDeviation: 0.9 } as const;

/** Design current of a bulb that stands where another should: log-normal over the bulbs of a shop's drawer, amps. From memory, no source. */
export const wrongLampAmps = { median: 0.8, logDeviation: 0.8 } as const;
