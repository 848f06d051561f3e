import type { ReplyFields } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { unitsOf } from "./measurements.js";

/** What a bench can say of itself with everything off. What it means is for the self-test to judge. */
export interface SelfCheck {
  /** At the converter, of the two grounded multiplexer inputs: 0 V, or a multiplexer or its wiring is at fault. */
  readonly groundVolts: number;
  readonly spareVolts: number;
  /** At the converter; half the reference at 25 °C. */
  readonly thermistorVolts: number;
  readonly temperatureC: number;
  /** The chip's own 1.1 V (1.0 to 1.2) against the external reference; anything else means a missing or wrong reference. */
  readonly bandgapVolts: number;
  /** What the two amplifiers show of no current at all. */
  readonly zeroAmps: number;
  readonly zeroPeakAmps: number;
  readonly supplyVolts: number;
  /** Good copies of the constants in EEPROM, 0 to 2. */
  readonly goodCopies: number;
}

export function selfCheckOf(fields: ReplyFields["check"]): SelfCheck {
  return {
    groundVolts: unitsOf(fields.ground),
    spareVolts: unitsOf(fields.spare),
    thermistorVolts: unitsOf(fields.thermistor),
    temperatureC: fields.temperature / 10,
    bandgapVolts: unitsOf(fields.bandgap),
    zeroAmps: unitsOf(fields.current),
    zeroPeakAmps: unitsOf(fields.peak),
    supplyVolts: unitsOf(fields.supply),
    goodCopies: fields.copies,
  };
}
