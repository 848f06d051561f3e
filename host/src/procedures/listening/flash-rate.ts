/** One cycle of a flasher, milliseconds: lit, then dark until it is lit again. */
export interface FlashCycle {
  readonly onMs: number;
  readonly offMs: number;
}

/** How a flasher runs. Rates per minute. */
export interface FlashRate {
  /** Complete cycles that the figures are made of. */
  readonly cycles: number;
  /** Mean of the rates of the single cycles: the rule that decides. */
  readonly perMinute: number;
  /** Cycles by time, the other way to count; the two part where a flasher is uneven. */
  readonly perMinuteByTime: number;
  readonly onMs: number;
  readonly offMs: number;
  /** Share of the time that the lamp is lit. */
  readonly onShare: number;
  /** Whether five cycles had passed before the ones that count. */
  readonly settled: boolean;
  readonly verdict: "normal" | "slow" | "fast";
}

/** Flashes per minute that are normal in North America and under UN R48 (SAE J945 as held in FMVSS 108; R48 6.5: 90 ± 30). */
export const normalFlashesPerMinute = { least: 60, most: 120 } as const;

/** A flasher is measured after five cycles, over three or more (NHTSA interpretations GF006498 and 01931ztv). */
const settlingCycles = 5;
export const leastFlashCycles = 3;

const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

/**
 * Rate of a flasher from consecutive cycles; undefined for fewer than three. The first five are left out where three remain.
 * Example: on/off 160/200, 160/200, 160/620 ms → 166.7, 166.7 and 76.9, mean 136.8 per minute: too fast, although three
 * cycles in 1500 ms make 120 (NHTSA interpretation 01931ztv).
 */
export function flashRate(cycles: readonly FlashCycle[]): FlashRate | undefined {
  if (cycles.length < leastFlashCycles) return undefined;
  const settled = cycles.length >= settlingCycles + leastFlashCycles;
  const counted = settled ? cycles.slice(settlingCycles) : cycles;
  const perMinute = mean(counted.map(({ onMs, offMs }) => 60_000 / (onMs + offMs)));
  const onMs = mean(counted.map((cycle) => cycle.onMs));
  const offMs = mean(counted.map((cycle) => cycle.offMs));
  return {
    cycles: counted.length,
    perMinute,
    perMinuteByTime: 60_000 / (onMs + offMs),
    onMs,
    offMs,
    onShare: onMs / (onMs + offMs),
    settled,
    verdict: verdictOf(perMinute),
  };
}

/** One decimal decides, as it is shown: 120.04 is not "fast" beside a shown 120.0. */
function verdictOf(perMinute: number): FlashRate["verdict"] {
  const shown = Math.round(perMinute * 10) / 10;
  if (shown < normalFlashesPerMinute.least) return "slow";
  return shown > normalFlashesPerMinute.most ? "fast" : "normal";
}
