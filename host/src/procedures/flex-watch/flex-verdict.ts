import type { ConductorWatched } from "./conductor-strip.js";
import type { FlexThresholds } from "./flex-thresholds.js";

export type FlexKind = "steady" | "interrupted" | "wavering" | "open" | "unsure";

/** What a conductor's watch means, with the sentence for a person. */
export interface FlexVerdict {
  readonly kind: FlexKind;
  readonly verdict: "pass" | "fail" | "unsure";
  readonly words: string;
}

/** A conductor that is interrupted for more than this share of the watch was never connected. */
const openShare = 0.95;

/** Judges one conductor by the thresholds; gaps that are too short to count are left out. */
export function flexVerdict(watched: ConductorWatched, thresholds: FlexThresholds): FlexVerdict {
  const { pin, ohms, lengthMs, totalGapMs } = watched;
  const { leastGapMs, mostGaps, mostSpreadOhms } = thresholds;
  if (lengthMs === 0) return { kind: "unsure", verdict: "unsure", words: `${pin}: nothing was seen.` };
  if (totalGapMs > openShare * lengthMs) {
    return {
      kind: "open",
      verdict: "fail",
      words: `${pin} carries no current at all: it is open, or its far end is not plugged in.`,
    };
  }
  const gaps = countedGaps(watched, leastGapMs);
  if (gaps.count > mostGaps) {
    const times = gaps.count === 1 ? "once" : `${gaps.count} times`;
    const words = `${pin} was interrupted ${times}, the longest for ${gaps.longestMs.toFixed(1)} ms; ${mostGaps === 0 ? "none" : `${mostGaps} at most`} of ${leastGapMs} ms or longer may be.`;
    return { kind: "interrupted", verdict: "fail", words };
  }
  if (ohms === undefined) {
    const words = `${pin} was not interrupted; its resistance cannot be followed in this cable, as its two ends sit on different places of the two connectors.`;
    return { kind: "steady", verdict: "pass", words };
  }
  const spread = ohms.greatest - ohms.least;
  const figures = `between ${ohms.least.toFixed(3)} and ${ohms.greatest.toFixed(3)} Ω`;
  if (spread > mostSpreadOhms) {
    const words = `${pin} wavered ${figures}, more than ${mostSpreadOhms} Ω apart: a strand or a crimp gives way where the cable was moved.`;
    return { kind: "wavering", verdict: "fail", words };
  }
  return { kind: "steady", verdict: "pass", words: `${pin} held, ${figures}.` };
}

/** The bench counts every interruption that it tells; of those told, the short ones are taken off its count. */
function countedGaps(watched: ConductorWatched, leastGapMs: number): { count: number; longestMs: number } {
  const short = watched.gaps.filter(({ lengthMs }) => lengthMs < leastGapMs).length;
  const count = Math.max(0, watched.gapCount - short);
  return { count, longestMs: watched.longestGapMs };
}
