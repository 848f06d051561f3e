import { z } from "zod";
import type { CircuitVerdict, Findings } from "../../diagnosis/findings.js";
import { lineOfText } from "../../records/person-text.js";

/** Commands of the cable check and of a batch of cables. */
export const cableCommands = {
  /** Checks the cable that is plugged in; while a batch goes on, keeps the result under this number, or the next one. */
  "cable:check": z.strictObject({ serial: lineOfText(64).optional() }),
  "batch:begin": z.strictObject({
    batch: lineOfText(64),
    person: lineOfText(120),
    shop: lineOfText(120).optional(),
    /** The first cable's; the one after the last of the batch unless given. */
    serial: lineOfText(64).optional(),
  }),
  "batch:end": z.strictObject({}),
} as const;

/** Where the current of a near pin comes out at a far pin, or does not. */
export interface CableCell {
  readonly far: string;
  /**
   * `through`: arrives where the plan says. `missing`: should arrive, and does not. `stray`: arrives where it should not.
   * `apart`: neither arrives nor should. `unknown`: not measured.
   */
  readonly kind: "through" | "missing" | "stray" | "apart" | "unknown";
  /** Of the way between the two pins; null where no current comes through. */
  readonly ohms: number | null;
}

export interface CableConductor {
  readonly near: string;
  /** Where the plan has it end. */
  readonly far: string;
  readonly use: string;
  readonly colour: string | null;
  /** Where it really ends. */
  readonly endsAt: readonly string[];
  readonly verdict: CircuitVerdict;
  readonly reason: string;
  readonly cells: readonly CableCell[];
  /** Ohms with expanded uncertainty (k = 2); null where the drive does not show it. */
  readonly ohms: { readonly value: number; readonly uncertainty: number } | null;
  /** At the rated current, this conductor alone in use; null where resistance or rating is unknown. */
  readonly drop: {
    readonly volts: number;
    readonly uncertainty: number;
    /** Of the plan's nominal volts. */
    readonly percent: number;
    readonly formula: string;
  } | null;
  readonly rating: { readonly amps: number; readonly from: string } | null;
}

/** A checked cable: each near pin against each far pin. */
export interface CableResult {
  readonly walkNumber: number;
  readonly overall: Findings["overall"];
  readonly farPins: readonly string[];
  readonly conductors: readonly CableConductor[];
  /** The ground conductor, which carries what the others bring back. */
  readonly ground: {
    readonly near: string;
    readonly far: string;
    readonly ohms: { readonly value: number; readonly uncertainty: number } | null;
  };
  /** Bridges, opens, swaps and what else is wrong, one sentence each. */
  readonly wrong: readonly string[];
}

export interface BatchRow {
  readonly serial: string;
  readonly hash: string;
  readonly testedAt: string;
  readonly verdict: Findings["overall"];
  /** In the order of the batch's `columns`. */
  readonly ohms: readonly (number | null)[];
  /** Circuits that are not in order, `LT open`. */
  readonly wrong: readonly string[];
}

export interface BatchSpread {
  readonly pin: string;
  readonly count: number;
  readonly least: number;
  readonly median: number;
  readonly most: number;
  /** Serial numbers that stand apart from the others. */
  readonly outliers: readonly string[];
}

export interface BatchView {
  readonly batch: string;
  readonly person: string;
  /** Suggested for the cable that is plugged in next. */
  readonly nextSerial: string;
  /** The one that is being checked or kept at this moment. */
  readonly nowSerial: string | null;
  /** Conductors by their near pin, and the ground. */
  readonly columns: readonly string[];
  /** Newest first. */
  readonly rows: readonly BatchRow[];
  readonly tested: number;
  readonly passed: number;
  readonly retested: number;
  readonly spread: readonly BatchSpread[];
  /** Why the last cable was not kept, if so. */
  readonly problem: string | null;
}

export interface CableView {
  readonly state: "idle" | "running" | "stopping" | "ended";
  /** Why no cable can be checked now. */
  readonly hindrance: string | null;
  readonly end: object | null;
  readonly result: CableResult | null;
  readonly batch: BatchView | null;
}
