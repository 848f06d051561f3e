import type { ConcreteFault } from "../hypotheses/concrete-fault.js";
import type { ChangedPart } from "./fault-action.js";
import type { OperatingPoint } from "./operating-point.js";
import type { BlockPrediction } from "./predict-block.js";
import type { Tuning } from "./tuned-vehicle.js";

/** Predictions that are solved when first asked for, and shared by faults that do exactly the same. */
export class LazyPredictions {
  private readonly known: (BlockPrediction | undefined)[];

  constructor(
    /** Whether each block differs from a healthy walk's. */
    readonly moved: readonly boolean[],
    private readonly solve: (block: number) => BlockPrediction,
    /** The moved blocks, those first that are likely to tell most. */
    readonly order: readonly number[] = moved.flatMap((isMoved, block) => (isMoved ? [block] : [])),
    /** Lets go of what solving needs; it is built again if it is needed after all. */
    readonly release: () => void = () => undefined,
    /** How far the fault upsets each block of a healthy walk, amps. */
    private readonly upset: readonly number[] = [],
  ) {
    this.known = moved.map(() => undefined);
  }

  upsetAt(block: number): number {
    return this.upset[block] ?? 0;
  }

  /** A block's prediction if it was asked for before. */
  knownAt(block: number): BlockPrediction | undefined {
    return this.known[block];
  }

  at(block: number): BlockPrediction {
    const known = this.known[block];
    if (known !== undefined) return known;
    const made = this.solve(block);
    this.known[block] = made;
    return made;
  }
}

/** What one set of faults predicts, block by block; blocks that the faults do not reach are the healthy ones. */
export class PredictedWalk {
  constructor(
    readonly faults: readonly ConcreteFault[],
    readonly changes: readonly ChangedPart[],
    readonly lazy: LazyPredictions,
    /** Where the fault changes one value only. */
    readonly tuning?: Tuning,
    /** The same readings solved with the fault where it lies, where `lazy` has it elsewhere in the same series. */
    private readonly inPlace?: LazyPredictions,
  ) {}

  at(block: number): BlockPrediction {
    return this.lazy.at(block);
  }

  /** The voltages inside, with the fault where it lies: only what can be read is the same along a series. */
  pointAt(block: number): OperatingPoint {
    return (this.inPlace ?? this.lazy).at(block).point;
  }

  movedAt(block: number): boolean {
    return this.lazy.moved[block] ?? false;
  }

  /** Every block; solves what was not asked for yet. */
  get predictions(): readonly BlockPrediction[] {
    return this.lazy.moved.map((_, block) => this.lazy.at(block));
  }
}
