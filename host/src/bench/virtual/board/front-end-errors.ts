import { BOARD } from "./board-values.js";
import { SeededNoise } from "./seeded-noise.js";

/** How one board differs from its design. Gains are ratios to the design value. */
export interface FrontEndErrors {
  /** Of the converter's reference: one that is low shows more of the same volts. */
  readonly reference: number;
  /** Shunt and amplifier together; offsets in volts at the amplifier's output. */
  readonly fineGain: number;
  readonly fineOffsetVolts: number;
  readonly coarseGain: number;
  readonly coarseOffsetVolts: number;
  readonly supplyGain: number;
  /** Dividers, by channel, 13 of each. */
  readonly nearGain: readonly number[];
  readonly farGain: readonly number[];
  readonly lowSource: { readonly volts: number; readonly ohms: number };
}

const all = (value: number) => new Array<number>(BOARD.channels).fill(value);

/** A board just as it was designed. */
export const noFrontEndErrors: FrontEndErrors = {
  reference: 1,
  fineGain: 1,
  fineOffsetVolts: 0,
  coarseGain: 1,
  coarseOffsetVolts: 0,
  supplyGain: 1,
  nearGain: all(1),
  farGain: all(1),
  lowSource: BOARD.lowSource,
};

/** Tolerances of commodity parts (common practice, no source): halves of the range that each is drawn from, evenly. */
const TOLERANCE = {
  reference: 0.002,
  shunt: 0.01,
  amplifier: 0.01,
  /** An input offset of 0.25 mV, by the gain of 20 and of 4. The board's own offset trim keeps zero above the lower rail. */
  fineOffsetVolts: 0.005,
  coarseOffsetVolts: 0.001,
  resistor: 0.01,
  lowVolts: 0.15,
};

/** One board of many: equal seeds give equal boards. */
export function seededFrontEndErrors(seed: number): FrontEndErrors {
  const random = new SeededNoise(seed ^ 0xb0a2d);
  const within = (half: number) => half * (2 * random.uniform() - 1);
  const divider = () => {
    const { lowerOhms, upperOhms } = BOARD.divider;
    const lower = lowerOhms * (1 + within(TOLERANCE.resistor));
    const upper = upperOhms * (1 + within(TOLERANCE.resistor));
    return lower / (lower + upper) / (lowerOhms / (lowerOhms + upperOhms));
  };
  const shunt = 1 + within(TOLERANCE.shunt);
  return {
    reference: 1 + within(TOLERANCE.reference),
    fineGain: shunt * (1 + within(TOLERANCE.amplifier)),
    // Positive: a negative one would hide small currents behind the rail, which no constant can undo.
    fineOffsetVolts: TOLERANCE.fineOffsetVolts + within(TOLERANCE.fineOffsetVolts),
    coarseGain: shunt * (1 + within(TOLERANCE.amplifier)),
    coarseOffsetVolts: TOLERANCE.coarseOffsetVolts + within(TOLERANCE.coarseOffsetVolts),
    supplyGain: divider(),
    nearGain: all(0).map(divider),
    farGain: all(0).map(divider),
    lowSource: {
      volts: BOARD.lowSource.volts + within(TOLERANCE.lowVolts),
      ohms: BOARD.lowSource.ohms * (1 + within(TOLERANCE.resistor)),
    },
  };
}
