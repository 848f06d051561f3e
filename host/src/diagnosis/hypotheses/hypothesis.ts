import type { BlockScores } from "../likelihood/block-scores.js";
import type { PairBounds } from "../likelihood/pair-bounds.js";
import type { PredictedWalk } from "../simulation/predicted-walk.js";
import type { PredictionBook } from "../simulation/prediction-book.js";
import type { ConcreteFault } from "./concrete-fault.js";
import type { SizePrior } from "./estimate-size.js";

/** One possible fault with its size estimated, what it predicts and how well that fits. */
export interface Hypothesis extends FittedFault {
  readonly logPrior: number;
}

/** A fault with what it predicts. */
export interface FaultWalk {
  readonly concrete: ConcreteFault;
  readonly walk: PredictedWalk;
}

export interface FittedFault extends FaultWalk {
  /** Log likelihood of all readings, scatter and size integrated out; minus infinity where they contradict it. */
  readonly logLikelihood: number;
  /** For a fault with a size: the same fault at another one. */
  readonly sizing?: Sizing;
}

/** How a fault's size is varied; sizes are natural logarithms. */
export interface Sizing {
  readonly prior: SizePrior;
  /** The size that was found for the fault alone. */
  readonly found: number;
  readonly branches: readonly (readonly number[])[];
  readonly at: (size: number) => FaultWalk;
  /** Whether the size is a resistance in series. */
  readonly resistance?: true;
}

/** What hypotheses are built with. */
export interface Bench {
  readonly book: PredictionBook;
  readonly scores: BlockScores;
  readonly bounds: PairBounds;
}
