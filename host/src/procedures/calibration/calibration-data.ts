import { type BenchCalibration, type InputCorrection, roundedCalibration } from "../../bench/bench-calibration.js";
import type { ChannelVolts } from "../../bench/measurements.js";
import { greatest, readingUncertainty, senseOhms } from "./bench-resolution.js";
import type { CalibrationDocument } from "./calibration-document.js";
import type { KnownResistor } from "./calibration-steps.js";
import { designReading, fitInput, type InputFit } from "./input-fit.js";
import type { Comparison } from "./line-fit.js";
import { fitLowSource, type LowSourceFit } from "./low-source-fit.js";

/** The meter's standard uncertainty: relative part without unit, offset in volts. */
export interface Meter {
  readonly relative: number;
  readonly offset: number;
}

/** Everything that was read, by the constants that were in force before. Volts, amps. */
export interface CalibrationData {
  readonly supply: { readonly bench: number; readonly meter: number }[];
  readonly joined: { readonly near: ChannelVolts; readonly far: ChannelVolts; readonly meter: number }[];
  lowOpen: number | undefined;
  lowLoaded: number | undefined;
  readonly loaded: { readonly amps: number; readonly volts: number; readonly resistor: KnownResistor }[];
}

export interface CalibrationResult {
  readonly calibration: BenchCalibration;
  readonly lowSource: LowSourceFit;
  readonly residuals: CalibrationDocument["residuals"];
  readonly uncertainty: CalibrationDocument["uncertainty"];
}

const unread: InputCorrection = { gain: 1, offset: 0 };

/** Turns what was read into constants and their uncertainty. Throws a RangeError where something is missing or cannot be. */
export function calibrate(
  data: CalibrationData,
  before: BenchCalibration,
  meter: Meter,
  lowResistor: KnownResistor,
): CalibrationResult {
  const volts = { readingU: readingUncertainty.volts, scaleU: meter.relative, most: greatest.volts };
  const compared = (reading: number, truth: number, correction: InputCorrection): Comparison => ({
    design: designReading(reading, correction),
    reference: truth,
    u: Math.hypot(meter.offset, readingUncertainty.volts),
    sharedU: meter.relative * truth,
  });
  const supply = fitInput(
    data.supply.map((one) => compared(one.bench, one.meter, before.supply)),
    volts,
  );
  const side = (which: "near" | "far"): InputFit[] =>
    before[which].map((correction, channel) =>
      fitInput(
        data.joined.map((one) => {
          const reading = one[which][channel];
          if (reading === undefined) throw new RangeError(`${which} channel ${channel} was not measured`);
          return compared(reading, one.meter, correction);
        }),
        volts,
      ),
    );
  const near = side("near");
  const far = side("far");
  const first = near[0];
  if (first === undefined) throw new RangeError("the bench has no channels");
  const corrected = (reading: number): number => {
    const { gain, offset } = first.correction;
    return gain * (designReading(reading, before.near[0] ?? unread) - offset);
  };
  const current = fitInput(
    data.loaded.map(({ amps, volts: reading, resistor }) => {
      const truth = corrected(reading);
      const reference = truth / resistor.value + truth / senseOhms;
      const pinU = first.uncertainty.offset / resistor.value;
      return {
        design: designReading(amps, before.current),
        reference,
        u: Math.hypot(pinU, (reference * resistor.u) / resistor.value, readingUncertainty.amps),
        sharedU: first.uncertainty.relative * reference,
      };
    }),
    { readingU: readingUncertainty.amps, scaleU: first.uncertainty.relative, most: greatest.amps },
  );
  const { lowOpen, lowLoaded } = data;
  if (lowOpen === undefined || lowLoaded === undefined) throw new RangeError("the low-current source was not measured");
  const lowVolts = (reading: number) => ({ value: corrected(reading), u: readingUncertainty.volts });
  const lowSource = fitLowSource(lowVolts(lowOpen), lowVolts(lowLoaded), lowResistor, senseOhms);
  const pins = [...near, ...far];
  const uncertainty = {
    amps: current.uncertainty,
    volts: {
      relative: Math.max(...pins.map((one) => one.uncertainty.relative)),
      offset: Math.max(...pins.map((one) => one.uncertainty.offset)),
    },
  };
  const calibration = roundedCalibration({
    current: current.correction,
    peak: before.peak,
    supply: supply.correction,
    near: near.map(({ correction }) => correction),
    far: far.map(({ correction }) => correction),
    lowSource: { volts: lowSource.volts.value, ohms: lowSource.ohms.value },
    uncertainty,
  });
  return {
    calibration,
    lowSource,
    residuals: {
      amps: farthest([current]),
      supplyVolts: farthest([supply]),
      pinVolts: farthest(pins),
    },
    uncertainty: calibration.uncertainty ?? uncertainty,
  };
}

function farthest(fits: readonly InputFit[]): number {
  return fits.reduce((most, { residuals }) => Math.max(most, ...residuals.map(Math.abs)), 0);
}
