import type { StripBatch } from "../strip/strip-contract.js";
import type { StopReason } from "../walk-fold.js";
import type { ListeningView } from "./listening-contract.js";

/** Listening to a wire or to an outlet, for the desk. */
export interface SourceRun {
  readonly view: ListeningView;
  readonly going: boolean;
  /** Settles when it has ended. */
  readonly done: Promise<void>;
  strips(): StripBatch;
  said(name: string, on: boolean): void;
  answer(answer: "finish" | "ready" | "skip"): void;
  stop(reason: StopReason): void;
}
