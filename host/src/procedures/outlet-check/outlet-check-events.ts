import type { BrokenOff } from "../bench-turn.js";
import type { OutletPin, OutletThresholds } from "./outlet-verdict.js";

/** How the outlet has to be before its pins are listened to. */
export type OutletStep = "without-loads" | "with-loads";

export type OutletCheckOutcome =
  | {
      readonly kind: "compared";
      readonly pins: readonly OutletPin[];
      readonly thresholds: OutletThresholds;
      readonly overall: OutletPin["verdict"];
    }
  | BrokenOff;

/** What a listener hears. Milliseconds since the bench began to listen to this pin, volts. */
export type OutletCheckEvent =
  | { readonly kind: "connecting" }
  /** Waits for `ready` or `skip`. */
  | { readonly kind: "step"; readonly step: OutletStep; readonly words: string }
  | {
      readonly kind: "pin";
      readonly pin: string;
      readonly loads: boolean;
      readonly index: number;
      readonly of: number;
    }
  | {
      readonly kind: "level";
      readonly pin: string;
      readonly atMs: number;
      readonly least: number;
      readonly mean: number;
      readonly greatest: number;
    }
  /** Volts while on; absent where nothing came. */
  | { readonly kind: "measured"; readonly pin: string; readonly loads: boolean; readonly volts?: number }
  | { readonly kind: "ended"; readonly outcome: OutletCheckOutcome };
