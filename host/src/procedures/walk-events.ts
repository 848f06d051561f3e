import type { Findings } from "../diagnosis/findings.js";
import type { DriveReading, LowCurrentReading, Readings } from "../readings/readings.js";

/** The phases of a walk, in order. */
export type WalkPhase = "connect" | "rest" | "low-current" | "drive" | "compare";

/**
 * What is known of the outputs when a walk has ended before its time. `confirmed-off`: the bench itself has said that
 * everything is off. `silence`: it did not answer any more; it turns everything off by itself one second after the last
 * line that it heard. Absent where the walk never reached a bench, so that it switched nothing on.
 */
export type OutputsAtEnd = "confirmed-off" | "silence";

/** How a walk ends. A bench that could not do its work says nothing about the vehicle. */
export type WalkOutcome =
  | { readonly kind: "judged"; readonly readings: Readings; readonly findings: Findings }
  | { readonly kind: "cancelled"; readonly readings?: Readings; readonly outputs?: OutputsAtEnd }
  | {
      readonly kind: "could-not-test";
      readonly code: string;
      readonly message: string;
      readonly readings?: Readings;
      readonly outputs?: OutputsAtEnd;
    };

/** What a listener (command line, server) hears while a walk runs. Amps, volts, milliseconds of the bench's clock. */
export type WalkEvent =
  | { readonly kind: "phase"; readonly phase: WalkPhase; readonly steps: number }
  | { readonly kind: "step"; readonly phase: WalkPhase; readonly index: number; readonly pin?: string }
  | { readonly kind: "rest"; readonly volts: Readonly<Record<string, number>> }
  | { readonly kind: "low-current"; readonly reading: LowCurrentReading }
  | {
      readonly kind: "trace";
      readonly pin: string;
      readonly atMs: number;
      readonly amps: number;
      readonly volts: number;
    }
  | { readonly kind: "drive"; readonly reading: DriveReading; readonly end: string }
  | { readonly kind: "skipped"; readonly pin: string; readonly why: string }
  | { readonly kind: "ended"; readonly outcome: WalkOutcome };
