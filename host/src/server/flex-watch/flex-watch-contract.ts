import { z } from "zod";
import type { FlexThresholds } from "../../procedures/flex-watch/flex-thresholds.js";
import type { FlexVerdict } from "../../procedures/flex-watch/flex-verdict.js";
import type { StripGap } from "../strip/strip-contract.js";

/** How a simulated cable can be moved. */
const wiggles = ["blink", "break", "burst", "strain"] as const;
export type Wiggle = (typeof wiggles)[number];

/** Commands of the flex watch. */
export const flexWatchSchemas = {
  /** What the next watch does, as far as it is to change; shared by every browser. */
  "flex-watch:set-up": z.strictObject({
    /** Near pins of the conductors, in this order; none for all. */
    pins: z.array(z.string().min(1).max(8)).max(13).exactOptional(),
    /** How long each conductor is watched. */
    seconds: z.number().min(2).max(600).exactOptional(),
    thresholds: z
      .strictObject({
        leastGapMs: z.number().min(0.75).max(10_000).exactOptional(),
        mostGaps: z.number().int().min(0).max(10_000).exactOptional(),
        mostSpreadOhms: z.number().min(0.001).max(1000).exactOptional(),
      })
      .exactOptional(),
  }),
  "flex-watch:start": z.strictObject({}),
  /** Enough of this conductor. */
  "flex-watch:next": z.strictObject({}),
  /** Moves the simulated cable. */
  "flex-watch:wiggle": z.strictObject({ how: z.enum(wiggles) }),
} as const;

export interface FlexSettings {
  readonly pins: readonly string[];
  readonly seconds: number;
  readonly thresholds: FlexThresholds;
}

/** One conductor: what it is, and what was seen of it so far. */
export interface FlexConductorView {
  readonly pin: string;
  readonly functionText: string;
  readonly colour: string | null;
  readonly state: "to-come" | "now" | "judged";
  readonly gapCount: number;
  readonly longestGapMs: number;
  readonly totalGapMs: number;
  /** Ohms, each a mean over about 0.13 s; null where they cannot be told. */
  readonly ohms: { readonly least: number; readonly mean: number; readonly greatest: number } | null;
  readonly lostWindows: number;
  readonly verdict: FlexVerdict["verdict"] | null;
  /** The verdict in a sentence. */
  readonly words: string | null;
}

/** The conductor under watch. */
interface FlexNow {
  readonly pin: string;
  /** From 1. */
  readonly number: number;
  readonly of: number;
  /** What the strip shows. */
  readonly followed: "far-volts" | "amps";
  /** Milliseconds since its watch began. */
  readonly atMs: number;
  /** Volts or amps at its far end. */
  readonly value: number | null;
  readonly ohms: number | null;
  /** It carries nothing at this moment. */
  readonly broken: boolean;
}

export type FlexEnd =
  | { readonly kind: "watched"; readonly overall: FlexVerdict["verdict"] }
  | { readonly kind: "stopped"; readonly message: string }
  | { readonly kind: "could-not-test"; readonly message: string };

export interface FlexWatchView {
  readonly state: "idle" | "running" | "stopping" | "ended";
  /** Why it cannot begin now. */
  readonly hindrance: string | null;
  readonly end: FlexEnd | null;
  /** Counts the watches since the server was started; 0 before the first. */
  readonly run: number;
  readonly benchName: string;
  readonly planName: string;
  readonly settings: FlexSettings;
  /** What it was or is judged by; the settings may have been changed since. */
  readonly thresholds: FlexThresholds;
  /** Near pins of the conductors that can be watched. */
  readonly choices: readonly string[];
  /** Conductors of the next watch; while and after a watch, those of it. */
  readonly conductors: readonly FlexConductorView[];
  readonly now: FlexNow | null;
  /** The newest last; the oldest are left out. */
  readonly gaps: readonly (StripGap & { readonly pin: string })[];
  /** Whether a simulated cable can be moved now. */
  readonly simulated: boolean;
  readonly hasResult: boolean;
}
