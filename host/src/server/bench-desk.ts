import type { BenchPort } from "../bench/port.js";
import type { VirtualBench } from "../bench/virtual/virtual-bench.js";
import type { Plan } from "../plan/plan-schema.js";
import type { BenchFacts } from "./bench-care/bench-facts.js";
import type { BenchView, CommandAck, WorkbenchState } from "./contract.js";
import type { StripBatch } from "./strip/strip-contract.js";
import type { StopReason } from "./walk-fold.js";
import type { WalkRun } from "./walk-run.js";

/** Where one kind of job with the bench is begun, answered and stopped. Over all desks, one job goes on at a time. */
export interface BenchDesk {
  readonly going: boolean;
  /** Everything off. Harmless when nothing goes on. */
  stop(reason: StopReason): void;
  /** Settles when nothing goes on and everything is off. */
  idle(): Promise<void>;
  /** Forgets what belonged to the plan or the walk before. */
  reset(): void;
  /** A browser is gone. */
  left(who: string): void;
}

/** What a desk needs of the workbench. */
export interface DeskGround {
  plan(): Plan | undefined;
  bench(): BenchView | undefined;
  /** The last walk, and whether bench and vehicle are still those that it walked. */
  walk(): { readonly run: WalkRun; readonly same: boolean } | null;
  /** Why nothing may be driven now. */
  hindrances(): readonly string[];
  busy(): boolean;
  /** Puts a changed plan in the place of the chosen one; a sample's becomes a plan of its own. Then that is the chosen one. */
  changePlan(plan: Plan): Promise<CommandAck>;
  /** Whether the chosen plan came with the program. */
  planIsSample(): boolean;
  openPort(bench: BenchView): Promise<BenchPort | VirtualBench>;
  /** The same to look after it: a virtual one has nothing on its connectors. */
  openBare(bench: BenchView): Promise<BenchPort | VirtualBench>;
  /** Those found, with what is known of them. */
  benches(): readonly BenchView[];
  /** Ports are being asked just now. */
  searching(): boolean;
  /** A bench has said this of itself; null when what it said holds no more. */
  learn(benchId: string, facts: BenchFacts | null): void;
  onChanged(...sections: (keyof WorkbenchState)[]): void;
  /** Windows of a watched wire that nobody has been sent yet. */
  onStrip(batch: StripBatch): void;
  /** A job has ended with everything off. */
  onEnded(): void;
}
