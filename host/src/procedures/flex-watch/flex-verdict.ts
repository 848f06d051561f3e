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

/** Spread that noise alone may make of a loop's resistance that is followed by its current, ohms: ten times its deviation of 0.02 Ω. */
const currentDoubtOhms = 0.2;

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
  if (ohms === undefined) return byCurrent(watched, mostSpreadOhms);
  const spread = ohms.greatest - ohms.least;
  const figures = `between ${ohms.least.toFixed(3)} and ${ohms.greatest.toFixed(3)} Ω`;
  if (spread > mostSpreadOhms) {
    const words = `${pin} wavered ${figures}, more than ${mostSpreadOhms} Ω apart: a strand or a crimp gives way where the cable was moved.`;
    return { kind: "wavering", verdict: "fail", words };
  }
  return { kind: "steady", verdict: "pass", words: `${pin} held, ${figures}.` };
}

/**
 * What the current alone tells of the resistance: the bench reads near and far voltages through multiplexers that share their select
 * lines, so that it can follow both only where they sit on inputs of the same number.
 */
function byCurrent({ pin, loopSpreadOhms }: ConductorWatched, mostSpreadOhms: number): FlexVerdict {
  const why =
    "Its ends sit on inputs of different numbers, which the bench cannot look at together: its resistance is followed by its current alone";
  if (loopSpreadOhms === undefined) {
    const words = `${pin} was not interrupted. ${why}, for which it was watched too briefly.`;
    return { kind: "steady", verdict: "pass", words };
  }
  const allowedOhms = mostSpreadOhms + currentDoubtOhms;
  if (loopSpreadOhms > allowedOhms) {
    const words = `${pin} wavered by ${loopSpreadOhms.toFixed(2)} Ω, more than ${allowedOhms.toFixed(1)} Ω: a strand, a crimp or a far load's contact gives way where the cable was moved. ${why}.`;
    return { kind: "wavering", verdict: "fail", words };
  }
  const words = `${pin} held; it wavered by less than ${allowedOhms.toFixed(1)} Ω. ${why}, and less than that cannot be told.`;
  return { kind: "steady", verdict: "pass", words };
}

/** The bench counts every interruption that it tells; of those told, the short ones are taken off its count. */
function countedGaps(watched: ConductorWatched, leastGapMs: number): { count: number; longestMs: number } {
  const short = watched.gaps.filter(({ lengthMs }) => lengthMs < leastGapMs).length;
  const count = Math.max(0, watched.gapCount - short);
  return { count, longestMs: watched.longestGapMs };
}
