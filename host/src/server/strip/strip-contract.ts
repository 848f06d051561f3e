/** The jobs of the bench that follow a wire window by window. */
export type StripJob = "flexWatch" | "listening";

/**
 * What was seen of watched wires: pin → its strip. Volts or amps in thousandths and milliohms, whole numbers all; milliseconds
 * since the watch of the pin began.
 */
export interface StripBatch {
  readonly job: StripJob;
  /** Counts the runs of the job; another run replaces everything. */
  readonly run: number;
  readonly pins: Readonly<Record<string, StripColumns>>;
}

export interface StripColumns {
  /** Windows of 2 ms, in pieces without a hole. */
  readonly fine: readonly FinePiece[];
  readonly rough: RoughColumns;
  readonly gaps: readonly StripGap[];
}

export interface FinePiece {
  /** Number of the first window since the watch began. */
  readonly first: number;
  readonly least: readonly number[];
  readonly greatest: readonly number[];
}

/** Many windows together, by their least and greatest, so that whatever is short is still there after hours. */
interface RoughColumns {
  /** Beginning of each stretch, as a number of windows. */
  readonly at: readonly number[];
  readonly least: readonly number[];
  readonly greatest: readonly number[];
  /** Milliohms, where they could be told. */
  readonly ohms: readonly (number | null)[];
}

/** An interruption that is over. */
export interface StripGap {
  readonly atMs: number;
  readonly lengthMs: number;
}
