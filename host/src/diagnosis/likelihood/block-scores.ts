import type { BlockPrediction } from "../simulation/predict-block.js";
import type { PredictedWalk } from "../simulation/predicted-walk.js";
import type { PredictionBook } from "../simulation/prediction-book.js";
import { fitMarginal, type MarginalFit, sigmaOf } from "./marginal-fit.js";
import { logTripChance, tripChance } from "./score-walk.js";

/** How well one block of readings is explained by itself. */
export interface BlockScore {
  readonly logLikelihood: number;
  /** True when its misfit is one that noise alone brings about. */
  readonly ordinary: boolean;
  /** Half the sum of squared misfits. */
  readonly loss: number;
  /** Log chance of what the limit did and of what was seen. */
  readonly logChance: number;
}

/** What a pair of faults may reach together. */
export interface PairBound {
  /** The log likelihood that it cannot exceed by much. */
  readonly bound: number;
  /** The bound less a part of what is mere hope: pairs are solved in this order. */
  readonly promise: number;
}

/** Hope is worth this much less than evidence when pairs are put in order. */
const hopeDiscount = 0.7;

/** An explanation this far short of an ordinary fit in what it moves is out of the question, natural logarithm. */
export const hopelessDeficit = 30;

/** Half the squared misfit beyond what noise brings on average that still counts as an ordinary fit. */
const ordinaryExcess = 1.5;

/** A block that misfits by more than this does so whatever the lots are, natural logarithm. */
const beyondLots = 50;

/** Half the squared misfit of n readings has a deviation of √(n/2): this many are put down to chance in every block. */
const chanceExcess = 1.5;

/**
 * Scores blocks one at a time, so that an explanation that contradicts a reading is dropped before all of its readings are
 * solved. What scatters is integrated out in each block alone, which is looser than in the whole walk.
 */
export class BlockScores {
  private readonly known = new Map<BlockPrediction, BlockScore>();
  private readonly much = new Map<BlockPrediction, boolean>();
  /** Blocks in the order in which they are likely to contradict: drives first. */
  readonly order: readonly number[];
  private readonly good: readonly number[];

  /** What the whole walk says of the lots of parts and of the bench, so that no block need pay for it again; 0 for single parts. */
  private readonly lots: Float64Array;

  constructor(private readonly book: PredictionBook) {
    const { scatter } = fitMarginal(book.healthy.predictions, book.scatter.count);
    this.lots = scatter.map((deviation, index) => (book.scatter.isLot(index) ? deviation : 0));
    const rank = { drive: 0, low: 1, inrush: 2, "back-feed": 3, rest: 4 } as const;
    this.order = book.blocks
      .map((_, block) => block)
      .sort((a, b) => rank[book.healthyAt(a).block.feeding.kind] - rank[book.healthyAt(b).block.feeding.kind]);
    this.good = book.blocks.map((block, at) => {
      const { logLikelihood, loss, logChance } = this.of(book.healthyAt(at));
      return logLikelihood - logChance + Math.max(0, loss - 0.5 * block.observations.length);
    });
  }

  of(prediction: BlockPrediction): BlockScore {
    const known = this.known.get(prediction);
    if (known !== undefined) return known;
    const { logLikelihood, loss } = this.bestFit(prediction);
    const chance = logTripChance(prediction, this.book.conditions.source.tripAmps) + prediction.logSeenChance;
    const count = prediction.observations.length;
    const ordinary = loss < 0.5 * count + ordinaryExcess && chance > -1;
    const score = { logLikelihood: logLikelihood + chance, ordinary, loss, logChance: chance };
    this.known.set(prediction, score);
    return score;
  }

  /** A block's fit with the lots as they are known to be, where that could matter, or without. */
  private bestFit(prediction: BlockPrediction): MarginalFit {
    const { count } = this.book.scatter;
    const plain = fitMarginal([prediction], count);
    const excess = plain.loss - 0.5 * prediction.observations.length;
    if (excess < 0 || excess > beyondLots) return plain;
    const moved = fitMarginal([shifted(prediction, this.lots)], count);
    return moved.logLikelihood > plain.logLikelihood ? moved : plain;
  }

  /** What an ordinary fit of a block would reach. */
  goodAt(block: number): number {
    return this.good[block] ?? 0;
  }

  /** How far the healthy prediction of a block falls short of that. */
  healthyDeficit(block: number): number {
    return this.goodAt(block) - this.of(this.book.healthyAt(block)).logLikelihood;
  }

  /** Whether the blocks that a fault moves are well explained without it. */
  healthyFits(walk: PredictedWalk): boolean {
    return this.order.every((block) => !walk.movedAt(block) || this.healthyDeficit(block) < hopelessDeficit / 4);
  }

  /** What a walk's blocks together reach beyond the sum of what they reach alone: what scatters is paid for once. */
  sharedGain(walk: PredictedWalk, logLikelihood: number): number {
    if (!Number.isFinite(logLikelihood)) return 0;
    return this.order.reduce((gain, block) => gain - this.of(walk.at(block)).logLikelihood, logLikelihood);
  }

  /** Whether both walks move some reading by as much as its uncertainty in one and the same block. */
  meet(first: PredictedWalk, second: PredictedWalk): boolean {
    return this.order.some((block) => this.meetAt(first, second, block));
  }

  /** A swap carries what the other fault does at one of its pins to the other pin. */
  private meetAt(first: PredictedWalk, second: PredictedWalk, block: number): boolean {
    const one = this.movesMuch(first, block);
    const other = this.movesMuch(second, block);
    if (one && other) return true;
    if (isSwap(first)) return other || this.swappedBlocks(first, block).some((at) => this.movesMuch(second, at));
    if (isSwap(second)) return one || this.swappedBlocks(second, block).some((at) => this.movesMuch(first, at));
    return false;
  }

  /** The block in which the other pin of a swap is fed in the same way. */
  private swappedBlocks(swap: PredictedWalk, block: number): number[] {
    const { feeding } = this.book.healthyAt(block).block;
    if (!("pin" in feeding)) return [];
    const pins = (swap.faults[0]?.fault.at ?? "").split("+").map((place) => place.slice(place.indexOf(":") + 1));
    if (!pins.includes(feeding.pin)) return [];
    const partner = pins.find((pin) => pin !== feeding.pin);
    return this.order.filter((at) => {
      const other = this.book.healthyAt(at).block.feeding;
      return other.kind === feeding.kind && other.pin === partner;
    });
  }

  /** Whether what a fault moves contradicts the readings; solves no more blocks than it takes to see it. */
  isHopeless(walk: PredictedWalk): boolean {
    let deficit = 0;
    for (const block of walk.lazy.order) {
      const prediction = walk.at(block);
      const byChance = chanceExcess * Math.sqrt(prediction.observations.length / 2);
      deficit += Math.max(0, this.goodAt(block) - this.of(prediction).logLikelihood - byChance);
      if (deficit > hopelessDeficit) return true;
    }
    return false;
  }

  /**
   * What a pair may reach at best. A block that both faults move can come out as neither has it alone; but where one of the
   * three readings of it is already ordinary, there is little left to gain. Stops once it falls below `floor`.
   * `shared` is what the blocks of one of the two gain by sharing what scatters (`sharedGain`).
   */
  pairBound(first: PredictedWalk, second: PredictedWalk, floor: number, shared = 0): PairBound {
    let bound = Math.max(0, shared);
    let evidence = bound;
    const moved: number[] = [];
    for (const block of this.order) {
      if (first.movedAt(block) || second.movedAt(block)) moved.push(block);
      else bound += this.of(this.book.healthyAt(block)).logLikelihood;
    }
    // What is not looked at yet might fit without any misfit and without any scatter.
    for (const block of moved) {
      if (bound < floor) return { bound, promise: bound };
      const { best, hope } = this.pairAt(first, second, block);
      bound += hope;
      evidence += best - hope;
    }
    return { bound, promise: bound + hopeDiscount * (evidence - Math.max(0, shared)) };
  }

  /** What a pair may reach in one block that one of them moves, and the best that is seen of it without the other. */
  private pairAt(first: PredictedWalk, second: PredictedWalk, block: number): { best: number; hope: number } {
    if (!this.meetAt(first, second, block)) {
      const mover = this.movesMuch(second, block) || !first.movedAt(block) ? second : first;
      const { logLikelihood } = this.of(mover.at(block));
      return { best: logLikelihood, hope: logLikelihood };
    }
    const seen = [this.book.healthyAt(block), first.at(block), second.at(block)].map((one) => this.of(one));
    const best = Math.max(...seen.map(({ logLikelihood }) => logLikelihood));
    return { best, hope: seen.some(({ ordinary }) => ordinary) ? best : Math.max(best, this.goodAt(block)) };
  }

  /** Whether a reading of the block moves by as much as its own uncertainty. */
  movesMuch(walk: PredictedWalk, block: number): boolean {
    if (!walk.movedAt(block)) return false;
    const prediction = walk.at(block);
    const known = this.much.get(prediction);
    if (known !== undefined) return known;
    const healthy = this.book.healthyAt(block);
    const { tripAmps } = this.book.conditions.source;
    const much =
      Math.abs(tripChance(prediction.fedAmps, tripAmps) - tripChance(healthy.fedAmps, tripAmps)) > 0.3 ||
      Math.abs(prediction.logSeenChance - healthy.logSeenChance) > 0.5 ||
      prediction.values.some((value, row) => Math.abs(value - (healthy.values[row] ?? 0)) > sigmaOf(healthy, row));
    this.much.set(prediction, much);
    return much;
  }
}

function isSwap({ faults }: PredictedWalk): boolean {
  return faults[0]?.fault.kind === "swap";
}

/** A prediction moved along by known scatter. */
function shifted(prediction: BlockPrediction, lots: Float64Array): BlockPrediction {
  const { scattered, slopes } = prediction;
  const values = prediction.values.map((value, row) =>
    scattered.reduce(
      (sum, index, column) => sum + (slopes[row * scattered.length + column] ?? 0) * (lots[index] ?? 0),
      value,
    ),
  );
  return { ...prediction, values };
}
