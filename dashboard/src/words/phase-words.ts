import type { WalkPhase } from "@pinwalk/host/procedures/walk-events.js";

interface PhaseWords {
  readonly phase: WalkPhase;
  readonly word: string;
  /** For a narrow screen. */
  readonly short: string;
  /** What happens in it. */
  readonly doing: string;
}

/** The phases of a walk, in order. */
export const phaseWords: readonly PhaseWords[] = [
  { phase: "connect", word: "Connect", short: "Connect", doing: "Getting the bench ready" },
  { phase: "rest", word: "At rest", short: "At rest", doing: "Looking for voltage with everything off" },
  { phase: "low-current", word: "Low current", short: "Low", doing: "A few milliamps into one pin at a time" },
  { phase: "drive", word: "Drive", short: "Drive", doing: "Full supply on one pin at a time" },
  { phase: "compare", word: "Compare", short: "Compare", doing: "Comparing with the plan" },
];
