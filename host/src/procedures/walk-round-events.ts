import type { WalkOutcome } from "./walk-events.js";

/**
 * What a listener hears while circuits are lit for a person to look at. No event says which circuit is lit: whoever knows
 * would see what they expect.
 */
export type WalkRoundEvent =
  | { readonly kind: "connecting" }
  /** A circuit is lit, the `step`th of `steps`, counted from 1. */
  | { readonly kind: "lit"; readonly step: number; readonly steps: number }
  /** The light is out before an answer came: nobody gave a sign of life, or the one who looked is gone. */
  | { readonly kind: "dark"; readonly step: number; readonly why: "no-sign-of-life" | "left" }
  | { readonly kind: "answered"; readonly step: number; readonly sure: boolean }
  | { readonly kind: "ended"; readonly outcome: WalkOutcome };
