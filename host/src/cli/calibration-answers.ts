import { z } from "zod";
import type { Meter } from "../procedures/calibration/calibration-data.js";
import type { CalibrationStep, KnownResistor } from "../procedures/calibration/calibration-steps.js";

const volts = z.number().min(0).max(20);
const resistor = z.strictObject({ ohms: z.number().positive().max(10_000), percent: z.number().positive().max(10) });

/** What a person knows before a calibration, and may have written down of it: a JSON file. Limits are half-widths. */
export const calibrationAnswersSchema = z.strictObject({
  /** The meter's limits: so many percent of the reading and so many volts. */
  meter: z.strictObject({ percent: z.number().positive().max(5), volts: z.number().min(0).max(1) }),
  /** For the current, two or three. */
  resistors: z.array(resistor).min(2).max(6),
  lowResistor: resistor,
  serial: z
    .string()
    .regex(/^[A-Za-z0-9.-]{1,16}$/)
    .optional(),
  /** The meter's readings; without them the person is asked. */
  readings: z
    .strictObject({ supply: volts, otherSupply: volts.optional(), joined: z.array(volts).min(2).max(3) })
    .optional(),
});

export type CalibrationAnswers = z.infer<typeof calibrationAnswersSchema>;

/** A limit is the half-width of a rectangle (JCGM 100:2008, 4.3.7). */
const standard = (halfWidth: number): number => halfWidth / Math.sqrt(3);

export function meterOf({ meter }: CalibrationAnswers): Meter {
  return { relative: standard(meter.percent / 100), offset: standard(meter.volts) };
}

export function knownResistor({ ohms, percent }: CalibrationAnswers["lowResistor"]): KnownResistor {
  return { value: ohms, u: standard((ohms * percent) / 100) };
}

/** What the file answers to a step: volts, 0 for "done", undefined for "cannot be done". */
export function writtenAnswer(
  { id, index, wants }: CalibrationStep,
  readings: NonNullable<CalibrationAnswers["readings"]>,
): number | undefined {
  if (wants === "done") return 0;
  if (id === "joined") return readings.joined[index];
  return id === "supply" ? readings.supply : readings.otherSupply;
}
