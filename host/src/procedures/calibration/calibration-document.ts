import { z } from "zod";

const uncertainty = z.strictObject({ relative: z.number().min(0), offset: z.number().min(0) });
const correction = z.strictObject({ gain: z.number().positive(), offset: z.number() });
const uncertain = z.strictObject({ value: z.number(), u: z.number().min(0) });

/**
 * What a calibration found and wrote: the document `pinwalk-calibration/1`. True value = gain x (design reading - offset); volts,
 * amps, ohms. Uncertainties are standard ones (k = 1).
 */
export const calibrationDocumentSchema = z.strictObject({
  format: z.literal("pinwalk-calibration/1"),
  bench: z.strictObject({ serial: z.string(), firmware: z.string() }),
  /** YYYY-MM-DD. */
  calibratedAt: z.string(),
  /** One year later: common practice, no source. */
  dueAt: z.string(),
  /** Of the bench's own count of storings. */
  revision: z.number().int(),
  meter: uncertainty,
  resistors: z.array(uncertain),
  constants: z.strictObject({
    current: correction,
    supply: correction,
    near: z.array(correction),
    far: z.array(correction),
    lowSource: z.strictObject({ volts: uncertain, ohms: uncertain }),
  }),
  /** Greatest distance of a comparison from its input's line; 0 where there was nothing to spare for a check. */
  residuals: z.strictObject({ amps: z.number(), supplyVolts: z.number(), pinVolts: z.number() }),
  uncertainty: z.strictObject({ amps: uncertainty, volts: uncertainty }),
});

export type CalibrationDocument = z.infer<typeof calibrationDocumentSchema>;

/**
 * Day on which a bench should be calibrated again; YYYY-MM-DD. The 29th of February becomes the 1st of March. Undefined for what
 * is no such date: a bench says what was written into it.
 */
export function dueDate(calibratedAt: string): string | undefined {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(calibratedAt) || Number.isNaN(Date.parse(calibratedAt))) return undefined;
  const [year = 0, month = 1, day = 1] = calibratedAt.split("-").map(Number);
  return new Date(Date.UTC(year + 1, month - 1, day)).toISOString().slice(0, 10);
}
