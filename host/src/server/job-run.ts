import type { BenchPort } from "../bench/port.js";
import type { VirtualBench } from "../bench/virtual/virtual-bench.js";
import type { Findings } from "../diagnosis/findings.js";
import type { Plan } from "../plan/plan-schema.js";
import type { Readings } from "../readings/readings.js";
import type { BenchView } from "./contract.js";
import type { StopReason } from "./walk-fold.js";

/** A job that follows a walk and adds to its readings. */
export interface JobRun {
  readonly going: boolean;
  /** Settles when it has ended and everything is off. */
  readonly done: Promise<void>;
  /** Everything off. Harmless when it has ended. */
  stop(reason: StopReason): void;
}

export interface JobRunOptions {
  readonly plan: Plan;
  /** Readings of the walk before. */
  readonly base: Readings;
  readonly bench: BenchView;
  readonly openPort: () => Promise<BenchPort | VirtualBench>;
  readonly onView: () => void;
  readonly onJudged: (judged: { readonly readings: Readings; readonly findings: Findings }) => void;
}
