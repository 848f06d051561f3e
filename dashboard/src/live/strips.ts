import type { StripBatch, StripColumns, StripGap, StripJob } from "@pinwalk/host/server/strip/strip-contract.js";
import { signal } from "@preact/signals";
import { roughWindows, StripRing } from "./strip-ring.js";

/** Half a minute window by window, and half an hour of stretches; as much as the host keeps. */
const fineCapacity = 16_384;
const roughCapacity = 16_384;
const mostGaps = 500;

/** What is known of one watched wire. */
export interface Strip {
  readonly fine: StripRing;
  readonly rough: StripRing;
  readonly ohms: StripRing;
  readonly gaps: StripGap[];
  /** Where the newest window ends, as a number of windows. */
  end: number;
}

interface Run {
  run: number;
  readonly strips: Map<string, Strip>;
}

const runs: Record<StripJob, Run> = {
  flexWatch: { run: -1, strips: new Map() },
  listening: { run: -1, strips: new Map() },
};

/** Goes up by one whenever windows were added or dropped; whoever draws strips watches it. */
export const stripEdition = signal(0);

/** Told of interruptions that have just happened, never of those from before this page looked. */
let onGaps: (count: number) => void = () => undefined;
export function listenToGaps(listener: (count: number) => void): void {
  onGaps = listener;
}

export function stripOf(job: StripJob, pin: string): Strip | undefined {
  return runs[job].strips.get(pin);
}

/** Adds what has arrived; windows of another run replace everything of that job. */
export function addStrips({ job, run, pins }: StripBatch): void {
  const known = runs[job];
  if (run !== known.run) {
    known.run = run;
    known.strips.clear();
  }
  let gaps = 0;
  for (const [pin, columns] of Object.entries(pins)) {
    const strip = known.strips.get(pin) ?? newStrip();
    known.strips.set(pin, strip);
    add(strip, columns);
    gaps += columns.gaps.length;
  }
  if (gaps > 0) onGaps(gaps);
}

/** Starts over from what the server holds. */
export function replaceStrips(batches: readonly StripBatch[]): void {
  const listener = onGaps;
  onGaps = () => undefined;
  for (const run of Object.values(runs)) {
    run.run = -1;
    run.strips.clear();
  }
  for (const batch of batches) addStrips(batch);
  onGaps = listener;
}

function newStrip(): Strip {
  return {
    fine: new StripRing(fineCapacity),
    rough: new StripRing(roughCapacity),
    ohms: new StripRing(roughCapacity),
    gaps: [],
    end: 0,
  };
}

function add(strip: Strip, { fine, rough, gaps }: StripColumns): void {
  for (const { first, least, greatest } of fine) {
    for (const [index, value] of least.entries()) strip.fine.push(first + index, value, greatest[index] ?? value);
    strip.end = Math.max(strip.end, first + least.length);
  }
  for (const [index, at] of rough.at.entries()) {
    const least = rough.least[index] ?? 0;
    strip.rough.push(at, least, rough.greatest[index] ?? least);
    const ohms = rough.ohms[index] ?? null;
    if (ohms !== null) strip.ohms.push(at, ohms, ohms);
    strip.end = Math.max(strip.end, at + roughWindows);
  }
  strip.gaps.push(...gaps);
  if (strip.gaps.length > mostGaps) strip.gaps.splice(0, strip.gaps.length - mostGaps);
}
