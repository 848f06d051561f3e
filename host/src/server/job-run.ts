import type { BenchPort } from "../bench/port.js";
import type { VirtualBench } from "../bench/virtual/virtual-bench.js";
import type { Findings } from "../diagnosis/findings.js";
import type { Plan } from "../plan/plan-schema.js";
import type { Judge } from "../procedures/judge.js";
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
  /** Something more was measured or seen; it is judged when the job has ended. */
  readonly onMeasured: (readings: Readings) => void;
  /** The job was broken off after it had measured or seen something, which counts all the same. */
  readonly onBrokenOff: (readings: Readings) => Promise<void>;
  /** What readings mean; rejects where that cannot be worked out. */
  readonly judge: Judge;
  readonly onJudged: (judged: { readonly readings: Readings; readonly findings: Findings }) => void;
}
