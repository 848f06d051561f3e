import { upsetAmps } from "../simulation/fault-action.js";
import type { BlockPrediction } from "../simulation/predict-block.js";
import type { PredictedWalk } from "../simulation/predicted-walk.js";
import type { PredictionBook } from "../simulation/prediction-book.js";
import { type BlockMarks, MarkBook } from "./block-marks.js";
import type { BlockScores } from "./block-scores.js";
import { scoreWalk } from "./score-walk.js";

/** What a pair of faults may reach together. */
export interface PairBound {
  /** The log likelihood that it cannot exceed by much. */
  readonly bound: number;
  /** The bound less a part of what is mere hope: pairs are solved in this order. */
  readonly promise: number;
}

/** Hope is worth this much less than evidence when pairs are put in order. */
const hopeDiscount = 0.7;
/** Hope below this is not worth asking whether there is ground for it, natural logarithm. */
const littleHope = 0.3;
/** A size between two that were tried may fit a block better by this much, natural logarithm. */
const betweenSizes = 2;
/** A change of current that may move a reading by its uncertainty, amps: leakage into a pin that only the bench's divider loads. */
const tellingAmps = 1e-7;

/** Says what two faults may reach together, from what is known of each alone and before they are solved together. */
export class PairBounds {
  private readonly marks: MarkBook;
  private readonly healthy: BlockMarks;
  private readonly healthySum: number;

  constructor(
    private readonly book: PredictionBook,
    private readonly scores: BlockScores,
  ) {
    this.marks = new MarkBook(scores);
    this.healthy = this.marks.of(book.healthy);
    for (const block of scores.order) this.marks.look(book.healthy, this.healthy, block);
    this.healthySum = this.healthy.logLikelihood.reduce((sum, one) => sum + one, 0);
  }

  /** Whether both walks move some reading by as much as its uncertainty in one and the same block. */
  meet(first: PredictedWalk, second: PredictedWalk): boolean {
    return this.scores.order.some((block) => this.meetAt(first, second, block));
  }

  /**
   * What a pair may reach at best. A block that both faults move can come out as neither has it alone; but where one of the
   * three readings of it is already ordinary, there is little left to gain. Stops once it falls below `floor`.
   * `shared` is what all blocks together gain by sharing what scatters.
   */
  of(first: PredictedWalk, second: PredictedWalk, floor: number, shared: number): PairBound {
    const { order } = this.scores;
    const one = this.marks.of(first);
    const other = this.marks.of(second);
    let bound = shared + this.healthySum;
    let evidence = 0;
    let moved = false;
    for (const block of order) {
      if (one.moved[block] === 0 && other.moved[block] === 0) continue;
      bound -= this.healthy.logLikelihood[block] as number;
      moved = true;
    }
    if (!moved) return { bound, promise: bound };
    // What is not looked at yet might fit without any misfit and without any scatter.
    const doubtful: { block: number; apart: number; hope: number }[] = [];
    for (const block of order) {
      if (one.moved[block] === 0 && other.moved[block] === 0) continue;
      if (bound < floor) return { bound, promise: bound };
      const { apart, best, hope, both } = this.seenAt(first, second, block, one, other);
      bound += both ? hope : Math.max(apart, hope);
      evidence += best - hope;
      if (!both && hope - apart > littleHope) doubtful.push({ block, apart, hope });
    }
    for (const { block, apart, hope } of doubtful) {
      if (bound < floor) return { bound, promise: bound };
      if (!this.disturb(first, second, block)) bound += apart - hope;
    }
    return { bound, promise: bound + hopeDiscount * evidence };
  }

  /**
   * Whether a pair that was bounded still may reach `floor` once its blocks are solved, at any of the sizes of one of its
   * faults (`walks`, from small to large). Solves no more than it takes to see that it does not.
   */
  mayReach(
    first: PredictedWalk,
    second: PredictedWalk,
    walks: readonly PredictedWalk[],
    { floor, shared }: { readonly floor: number; readonly shared: number },
  ): boolean {
    if (floor === Number.NEGATIVE_INFINITY) return true;
    let rest = shared;
    const blocks: { block: number; hope: number; ground: number }[] = [];
    for (const block of this.scores.order) {
      if (!first.movedAt(block) && !second.movedAt(block)) {
        rest += this.scores.of(this.book.healthyAt(block)).logLikelihood;
        continue;
      }
      const { apart, best, hope, both } = this.seenAt(
        first,
        second,
        block,
        this.marks.of(first),
        this.marks.of(second),
      );
      const meets = both || (hope - apart > littleHope && this.disturb(first, second, block));
      blocks.push({ block, hope: meets ? hope : apart, ground: meets ? best : apart });
      rest += meets ? hope : apart;
    }
    blocks.sort((a, b) => b.hope - b.ground - (a.hope - a.ground));
    for (const [at, { hope }] of blocks.entries()) {
      rest -= hope;
      const many = at + 1;
      // Looked at after one, two, four, eight blocks and so on.
      if (many < blocks.length && (many & at) !== 0) continue;
      const solved = blocks.slice(0, many).map(({ block }) => block);
      if (rest + this.reachOf(walks, solved) < floor) return false;
    }
    return true;
  }

  /** The best that these blocks reach together at one of the sizes; unlimited where they may reach more between two of them. */
  private reachOf(walks: readonly PredictedWalk[], blocks: readonly number[]): number {
    const { scatter, conditions } = this.book;
    const tried = walks.map((walk) => blocks.map((block) => walk.at(block)));
    const passes = tried.some((these, at) =>
      these.some((one, place) => {
        const next = tried[at + 1]?.[place];
        return next !== undefined && next !== one && passesMeasured(one, next);
      }),
    );
    if (passes) return Number.POSITIVE_INFINITY;
    const reached = tried.map((these) => scoreWalk(these, scatter.count, conditions.source.tripAmps).logLikelihood);
    return Math.max(...reached) + (walks.length > 1 ? betweenSizes : 0);
  }

  /** What a block that one of them moves reaches if they do not meet there (`apart`), at the best that is seen, and at best if they do. */
  private seenAt(
    first: PredictedWalk,
    second: PredictedWalk,
    block: number,
    one: BlockMarks,
    other: BlockMarks,
  ): { apart: number; best: number; hope: number; both: boolean } {
    this.marks.look(first, one, block);
    this.marks.look(second, other, block);
    const { healthy } = this;
    const firstScore = one.logLikelihood[block] as number;
    const secondScore = other.logLikelihood[block] as number;
    const both = other.much[block] === 1 && one.much[block] === 1;
    const apart = other.much[block] === 1 || one.moved[block] === 0 ? secondScore : firstScore;
    const best = Math.max(healthy.logLikelihood[block] as number, firstScore, secondScore);
    const ordinary = healthy.ordinary[block] === 1 || one.ordinary[block] === 1 || other.ordinary[block] === 1;
    return { apart, best, hope: ordinary ? best : Math.max(best, this.scores.hopeAt(block)), both };
  }

  private meetAt(first: PredictedWalk, second: PredictedWalk, block: number): boolean {
    const both = this.scores.movesMuch(first, block) && this.scores.movesMuch(second, block);
    return both || this.disturb(first, second, block);
  }

  /** Whether one of them does more or less beside the other than alone. */
  private disturb(first: PredictedWalk, second: PredictedWalk, block: number): boolean {
    if (changesRole(second, first, block) || changesRole(first, second, block)) return true;
    return this.carriesAlong(first, second, block) || this.carriesAlong(second, first, block);
  }

  /** A swap carries what the other fault does at one of its pins to the other pin. */
  private carriesAlong(swap: PredictedWalk, other: PredictedWalk, block: number): boolean {
    const fault = swap.faults[0]?.fault;
    const { feeding } = this.book.healthyAt(block).block;
    if (fault?.kind !== "swap" || !("pin" in feeding)) return false;
    const pins = fault.at.split("+").map((place) => place.slice(place.indexOf(":") + 1));
    const [partner] = pins.includes(feeding.pin) ? pins.filter((pin) => pin !== feeding.pin) : [];
    if (partner === undefined) return false;
    if (this.scores.movesMuch(other, block)) return true;
    return this.scores.order.some((at) => {
      const there = this.book.healthyAt(at).block.feeding;
      return there.kind === feeding.kind && there.pin === partner && this.scores.movesMuch(other, at);
    });
  }
}

/** Whether a fault disturbs much more, or much less, beside another one than it does in a healthy vehicle. */
function changesRole(fault: PredictedWalk, beside: PredictedWalk, block: number): boolean {
  if (!beside.movedAt(block)) return false;
  const { block: fed } = beside.at(block);
  const alone = fault.lazy.upsetAt(block);
  const there = upsetAmps(fault.changes, beside.pointAt(block), fed.feeding.kind === "inrush");
  if (!Number.isFinite(alone) || !Number.isFinite(there)) return !Number.isFinite(there) && Number.isFinite(alone);
  return Math.max(alone, there) > tellingAmps && (there > 2 * alone || alone > 2 * there);
}

/** Whether a reading lies between two predictions of it. */
function passesMeasured(one: BlockPrediction, next: BlockPrediction): boolean {
  return one.observations.some(({ value, sigma }, row) => {
    const before = value - (one.values[row] ?? 0);
    const after = value - (next.values[row] ?? 0);
    return before * after < 0 && Math.abs(before - after) > sigma;
  });
}
