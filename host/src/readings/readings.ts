import { z } from "zod";

/**
 * What was measured: the document `pinwalk-readings/1`. Volts against the tester's ground at the near end, amps, ohms,
 * milliseconds, °C. Every section may be absent or incomplete.
 */
const voltage = z.number().min(-60).max(60);
const voltsByPin = z.record(z.string().min(1).max(8), voltage);
/** Expanded uncertainty, k = 2 (JCGM 100:2008, 6.2): relative to the reading, plus an offset in its unit. */
const uncertainty = z.strictObject({ relative: z.number().min(0).max(1), offset: z.number().min(0).max(10) });

export const lowCurrentReadingSchema = z.strictObject({
  pin: z.string().min(1).max(8),
  volts: voltsByPin,
  farVolts: voltsByPin.optional(),
});

export const driveReadingSchema = z.strictObject({
  pin: z.string().min(1).max(8),
  amps: z.number().min(-1).max(200),
  volts: voltsByPin,
  farVolts: voltsByPin.optional(),
  peakAmps: z.number().min(0).max(500).optional(),
  settleMs: z.number().min(0).max(60_000).optional(),
  tripped: z.boolean().optional(),
});

export const backFeedReadingSchema = z.strictObject({
  vehicle: z.array(z.string().min(1).max(32)).min(1).max(16),
  volts: voltsByPin,
});

export const seenReadingSchema = z.strictObject({
  pin: z.string().min(1).max(8),
  lit: z.array(z.string().min(1).max(64)).max(64),
});

export const readingsSchema = z.strictObject({
  format: z.literal("pinwalk-readings/1"),
  takenAt: z.iso.datetime({ offset: true }),
  tester: z.strictObject({
    id: z.string().min(1).max(64),
    firmware: z.string().min(1).max(32),
    /** Absent for a bench that was never calibrated. */
    calibratedAt: z.string().max(32).optional(),
    uncertainty: z.strictObject({ amps: uncertainty, volts: uncertainty }),
  }),
  ambientC: z.number().min(-60).max(90).optional(),
  source: z.strictObject({
    volts: z.number().min(0).max(40),
    ohms: z.number().min(0).max(10),
    lowVolts: z.number().min(0).max(40),
    lowOhms: z.number().positive().max(1e6),
    senseOhms: z.number().positive().max(1e9),
    tripAmps: z.number().positive().max(100),
  }),
  rest: voltsByPin.optional(),
  lowCurrent: z.array(lowCurrentReadingSchema).max(64).optional(),
  drives: z.array(driveReadingSchema).max(64).optional(),
  backFeed: z.array(backFeedReadingSchema).max(64).optional(),
  seen: z.array(seenReadingSchema).max(256).optional(),
});

export type LowCurrentReading = z.infer<typeof lowCurrentReadingSchema>;
export type DriveReading = z.infer<typeof driveReadingSchema>;
export type BackFeedReading = z.infer<typeof backFeedReadingSchema>;
export type SeenReading = z.infer<typeof seenReadingSchema>;
export type Readings = z.infer<typeof readingsSchema>;
