import type { BlockPrediction } from "../simulation/predict-block.js";
import type { PredictedWalk } from "../simulation/predicted-walk.js";
import type { PredictionBook } from "../simulation/prediction-book.js";
import { fitMarginal, type MarginalFit, sigmaOf } from "./marginal-fit.js";
import type { ReadingBlock } from "./reading-blocks.js";
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

/** An explanation this far short of an ordinary fit in what it moves is out of the question, natural logarithm. */
export const hopelessDeficit = 30;

/** Half the squared misfit beyond what noise brings on average that still counts as an ordinary fit. */
const ordinaryExcess = 1.5;

/** A block that misfits by more than this does so whatever the lots are, natural logarithm. */
const beyondLots = 50;

/** Half the squared misfit of n readings has a deviation of √(n/2): this many are put down to chance in every block. */
const chanceExcess = 1.5;

/** Half the squared misfit of n readings has a deviation of √(n/2): so many still count as noise, among a score of blocks. */
const ordinaryDeviations = 2;

/**
 * Scores blocks one at a time, so that an explanation that contradicts a reading is dropped before all of its readings are
 * solved. What scatters is integrated out in each block alone, which is looser than in the whole walk.
 */
export class BlockScores {
  private readonly known = new Map<BlockPrediction, BlockScore>();
  private readonly much = new Map<BlockPrediction, boolean>();
  private readonly bestKnown = new Map<ReadingBlock, number>();
  /** Blocks in the order in which they are likely to contradict: drives first. */
  readonly order: readonly number[];
  private readonly good: readonly number[];
  private reference: PredictedWalk | undefined;

  /** What the whole walk says of the lots of parts and of the bench, so that no block need pay for it again; 0 for single parts. */
  private readonly lots: Float64Array;

  /** What the blocks that read as in a sound vehicle gain together: what scatters is paid for once. */
  readonly soundGain: number;

  constructor(private readonly book: PredictionBook) {
    // Blocks that no fault touches say what the lots and the bench are like today.
    const { count } = book.scatter;
    const sound = book.healthy.predictions.filter((prediction) => {
      const { loss } = fitMarginal([prediction], count);
      return loss < 0.5 * prediction.observations.length + ordinaryExcess;
    });
    const { scatter, logLikelihood: together } = fitMarginal(sound, count);
    this.lots = scatter.map((deviation, index) => (book.scatter.isLot(index) ? deviation : 0));
    const rank = { drive: 0, low: 1, inrush: 2, "back-feed": 3, rest: 4 } as const;
    this.order = book.blocks
      .map((_, block) => block)
      .sort((a, b) => rank[book.healthyAt(a).block.feeding.kind] - rank[book.healthyAt(b).block.feeding.kind]);
    this.good = book.blocks.map((block, at) => {
      const { logLikelihood, loss, logChance } = this.of(book.healthyAt(at));
      return logLikelihood - logChance + Math.max(0, loss - 0.5 * block.observations.length);
    });
    this.soundGain = sound.reduce((gain, prediction) => {
      const { logLikelihood, logChance } = this.of(prediction);
      return gain - (logLikelihood - logChance);
    }, together);
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
    const best = this.bestKnown.get(prediction.block) ?? Number.NEGATIVE_INFINITY;
    if (score.logLikelihood > best) this.bestKnown.set(prediction.block, score.logLikelihood);
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

  /** What the best fit would reach that is known of any fault: one that stops a current takes its scatter along. */
  hopeAt(block: number): number {
    if (this.reference !== undefined) return this.of(this.reference.at(block)).logLikelihood;
    const { block: fed } = this.book.healthyAt(block);
    return Math.max(this.goodAt(block), this.bestKnown.get(fed) ?? Number.NEGATIVE_INFINITY);
  }

  /** Takes a walk that explains all readings as the measure of what any block can reach; says whether it is one. */
  measureBy(walk: PredictedWalk): boolean {
    const fits = this.order.every((block) => {
      const { loss, logChance } = this.of(walk.at(block));
      const { length } = walk.at(block).observations;
      return loss < 0.5 * length + ordinaryDeviations * Math.sqrt(length / 2) + ordinaryExcess && logChance > -1;
    });
    this.reference = fits ? walk : undefined;
    return fits;
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
