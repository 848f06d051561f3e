import type { LazyPredictions, PredictedWalk } from "../simulation/predicted-walk.js";
import type { BlockScores } from "./block-scores.js";

/** What is known of one walk block by block, in arrays: a hundred thousand pairs of faults ask for it. */
export interface BlockMarks {
  /** 1 where the walk's faults reach the block. */
  readonly moved: Uint8Array;
  /** 1 where they move a reading by as much as its uncertainty. */
  readonly much: Uint8Array;
  /** 1 where the block's misfit is one that noise alone brings about. */
  readonly ordinary: Uint8Array;
  readonly logLikelihood: Float64Array;
  /** 1 where the three above are filled in. */
  readonly known: Uint8Array;
}

/** Keeps the marks of every walk; a block is predicted and scored when it is first asked for. */
export class MarkBook {
  private readonly marks = new Map<LazyPredictions, BlockMarks>();

  constructor(private readonly scores: BlockScores) {}

  /** The marks of a walk; only `moved` holds before `look`. */
  of({ lazy }: PredictedWalk): BlockMarks {
    const found = this.marks.get(lazy);
    if (found !== undefined) return found;
    const { length } = lazy.moved;
    const made = {
      moved: Uint8Array.from(lazy.moved, Number),
      much: new Uint8Array(length),
      ordinary: new Uint8Array(length),
      logLikelihood: new Float64Array(length),
      known: new Uint8Array(length),
    };
    this.marks.set(lazy, made);
    return made;
  }

  /** Fills in one block of a walk's marks. */
  look(walk: PredictedWalk, marks: BlockMarks, block: number): void {
    if (marks.known[block] === 1) return;
    const { logLikelihood, ordinary } = this.scores.of(walk.at(block));
    marks.logLikelihood[block] = logLikelihood;
    marks.ordinary[block] = ordinary ? 1 : 0;
    marks.much[block] = this.scores.movesMuch(walk, block) ? 1 : 0;
    marks.known[block] = 1;
  }
}
