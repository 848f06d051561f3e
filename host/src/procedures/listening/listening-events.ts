import type { WatchBlock } from "../../bench/watch-values.js";
import type { BrokenOff } from "../bench-turn.js";
import type { SignalReading } from "./read-signal.js";
import type { WireFunctions } from "./wire-function.js";

/** What was heard on a wire in the end. */
export interface Heard {
  readonly reading: SignalReading;
  readonly functions: WireFunctions;
  /** Windows of 2 ms that did not come through; more than a few make the rest doubtful. */
  readonly lostWindows: number;
}

export type ListeningOutcome = ({ readonly kind: "heard" } & Heard) | BrokenOff;

/** What a listener hears while a wire is listened to. Milliseconds since the bench began to listen, volts. */
export type ListeningEvent =
  | { readonly kind: "connecting" }
  | { readonly kind: "listening"; readonly channel: number }
  /** A few windows together, for a strip chart. */
  | {
      readonly kind: "level";
      readonly atMs: number;
      readonly least: number;
      readonly mean: number;
      readonly greatest: number;
      /** The windows themselves. */
      readonly block: WatchBlock;
    }
  /** What the wire does now, about once a second; its functions from everything so far. */
  | ({ readonly kind: "heard"; readonly atMs: number } & Heard)
  | { readonly kind: "ended"; readonly outcome: ListeningOutcome };
