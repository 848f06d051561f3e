import type { BackFeedReading } from "../readings/readings.js";
import type { BackFeedAsk } from "./back-feed-watch-asks.js";
import type { WalkOutcome } from "./walk-events.js";

/**
 * What a person is to do: switch everything off before the first function, switch a function on, leave it on while it is
 * watched, switch off what has shown up.
 */
export type BackFeedStep = "all-off" | "switch-on" | "watching" | "switch-off";

/** What a listener hears while the vehicle's own functions are watched for. Volts. */
export type BackFeedEvent =
  | { readonly kind: "connecting" }
  | { readonly kind: "step"; readonly step: BackFeedStep; readonly ask: BackFeedAsk | null }
  | {
      readonly kind: "volts";
      readonly volts: Readonly<Record<string, number>>;
      /** Pins over their limit. */
      readonly over: readonly string[];
    }
  | {
      readonly kind: "recorded";
      readonly ask: BackFeedAsk;
      readonly reading: BackFeedReading;
      /** Pins on which something showed up. */
      readonly fed: readonly string[];
      readonly how: "noticed" | "confirmed";
    }
  | { readonly kind: "skipped"; readonly ask: BackFeedAsk }
  | { readonly kind: "ended"; readonly outcome: WalkOutcome };
