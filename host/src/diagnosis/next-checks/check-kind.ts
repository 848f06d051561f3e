import type { WeighedExplanation } from "../explain.js";
import type { FaultedVehicle, WalkConditions } from "../simulation/faulted-vehicle.js";
import type { OperatingPoint } from "../simulation/operating-point.js";

/** A look, touch or measurement as the findings name it: `{ "look": "left-rear.bright", "while": "LT" }`. */
export type Check = Readonly<Record<string, string>>;

/** One thing that can come of a check: the answer as a person gives it back, and what it means. */
export interface CheckOutcome {
  readonly answer: string;
  readonly text: string;
}

/** An explanation as a vehicle that checks can be tried on. */
export interface Candidate {
  readonly explanation: WeighedExplanation;
  readonly vehicle: FaultedVehicle;
  /** The vehicle with one pin driven; undefined where the drive would trip. */
  driven(pin: string): OperatingPoint | undefined;
}

export interface CheckScene {
  readonly conditions: WalkConditions;
  readonly candidates: readonly Candidate[];
  /** Pins that can be driven safely: they neither tripped nor were live. */
  readonly drivablePins: readonly string[];
  /** Pins for which somebody has already said which lamps are lit. */
  readonly seenPins: readonly string[];
  /** Functions of the vehicle that a back-feed reading has already covered. */
  readonly backFed: readonly string[];
}

/** One kind of check: a new one is a file and a line in the table. */
export interface CheckKind {
  /** The key by which its checks are known. */
  readonly key: string;
  readonly effortMinutes: number;
  /** Every check of this kind that could be worth making. */
  propose(scene: CheckScene): Check[];
  /** What can come of a check; the order is that of `chances`. */
  outcomes(check: Check, scene: CheckScene): CheckOutcome[];
  /** Chance of each outcome if the candidate is true; undefined for a check that does not make sense here. */
  chances(check: Check, candidate: Candidate, scene: CheckScene): number[] | undefined;
  text(check: Check, scene: CheckScene): string;
}

/** People misread and mistype: every outcome has at least this chance. */
const slip = 0.02;

/** Spreads a little chance over all outcomes. `softened(1, 3)` is `[0.02, 0.96, 0.02]`. */
export function softened(outcome: number, count: number): number[] {
  return Array.from({ length: count }, (_, at) => (at === outcome ? 1 - slip * (count - 1) : slip));
}
