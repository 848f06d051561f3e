import type { WalkAttack } from "./attacked-walk.js";
import { SeededRandom } from "./seeded-random.js";

/** How bad a line is. A walk of three pins is some 700 bytes to the bench and 3000 back. */
export const severities = {
  /** A mishap in about every second walk. */
  rare: { perByteToBench: 1 / 4_000, perByteToHost: 1 / 8_000 },
  /** Some in nearly every walk, most of them in what the bench says. */
  frequent: { perByteToBench: 1 / 2_000, perByteToHost: 1 / 600 },
  /** Hardly a line gets through whole, from some moment on. */
  heavy: { perByteToBench: 1 / 60, perByteToHost: 1 / 60 },
  /** As bad, but for half a second; then the line is honest again, and whatever has gone out of step shows. */
  storm: { perByteToBench: 1 / 60, perByteToHost: 1 / 60 },
  /** Only what the bench says is spoiled, and every tenth line of it. */
  "to host": { perByteToBench: 0, perByteToHost: 1 / 250 },
  /** Only what the bench hears is spoiled. */
  "to bench": { perByteToBench: 1 / 400, perByteToHost: 0 },
  /** Nothing but one digit for another. */
  digits: { perByteToBench: 1 / 1_500, perByteToHost: 1 / 150 },
  /** No byte is spoiled: the cable is pulled, or one direction dies without a word. */
  severed: { perByteToBench: 0, perByteToHost: 0 },
} as const;

export type Severity = keyof typeof severities;

/** The attack that a seed stands for, on a walk that lasts so long on an honest line. */
export function lineAttack(severity: Severity, seed: number, lastsMs: number): WalkAttack {
  const random = new SeededRandom(seed ^ 0x11ea77ac);
  const attack = { seed, ...severities[severity] };
  const moment = random.between(0, Math.round(lastsMs));
  if (severity === "digits") return { ...attack, mishapKinds: ["other-digit"] };
  if (severity === "heavy") return { ...attack, fromMs: moment };
  if (severity === "storm") return { ...attack, fromMs: moment, untilMs: moment + random.between(20, 500) };
  if (severity === "severed") {
    const how = random.pick(["unplugAtMs", "muteToBenchAtMs", "muteToHostAtMs", "both"] as const);
    return how === "both"
      ? { ...attack, muteToBenchAtMs: moment, muteToHostAtMs: moment }
      : { ...attack, [how]: moment };
  }
  return random.chance(0.05) ? { ...attack, cancelAtMs: moment } : attack;
}
