import type { WatchBlock, WatchGap } from "../../bench/watch-values.js";
import type { BrokenOff } from "../bench-turn.js";
import type { ConductorWatched, Followed, StripPoint } from "./conductor-strip.js";
import type { FlexThresholds } from "./flex-thresholds.js";
import type { FlexVerdict } from "./flex-verdict.js";

/** One conductor's watch with its verdict. */
export interface ConductorJudged extends ConductorWatched {
  readonly judged: FlexVerdict;
}

export type FlexOutcome =
  | {
      readonly kind: "watched";
      readonly conductors: readonly ConductorJudged[];
      readonly thresholds: FlexThresholds;
      readonly overall: FlexVerdict["verdict"];
    }
  | BrokenOff;

/** What a listener hears while a cable is moved. */
export type FlexEvent =
  | { readonly kind: "connecting" }
  | {
      readonly kind: "conductor";
      readonly pin: string;
      readonly index: number;
      readonly of: number;
      readonly followed: Followed;
    }
  /** A block of windows as it came, and what the strip makes of it. */
  | { readonly kind: "strip"; readonly pin: string; readonly point: StripPoint; readonly block: WatchBlock }
  | { readonly kind: "gap"; readonly pin: string; readonly gap: WatchGap }
  | { readonly kind: "judged"; readonly conductor: ConductorJudged }
  | { readonly kind: "ended"; readonly outcome: FlexOutcome };
