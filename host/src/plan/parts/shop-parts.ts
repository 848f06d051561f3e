import { z } from "zod";
import { defaultLibrary, type PartsLibrary } from "./parts-library.js";
import { shopSource } from "./sourced.js";

/**
 * A shop's own parts, `pinwalk-parts/1`: a JSON file beside its plans. A row of the same name takes the place of the
 * library's. `source` may say where the shop has the value from.
 */
const rated = z.strictObject({ volts: z.number().positive().max(60), amps: z.number().positive().max(50) });
const source = z.string().min(1).max(200).optional();

export const shopPartsSchema = z.strictObject({
  format: z.literal("pinwalk-parts/1"),
  bulbs: z
    .array(
      z.strictObject({
        id: z.string().min(1).max(32),
        nominalVolts: z.number().min(6).max(48),
        bright: rated,
        dim: rated.optional(),
        tolerance: z.number().positive().max(0.5).optional(),
        source,
      }),
    )
    .optional(),
  wires: z
    .array(
      z.strictObject({
        system: z.enum(["awg", "sae", "mm2"]),
        size: z.number().positive(),
        squareMm: z.number().positive().max(100),
        milliohmsPerMetre: z.number().positive().max(1000),
        amps: z.number().positive().max(300),
        fuseAmps: z.number().positive().max(300),
        source,
      }),
    )
    .optional(),
  diodes: z
    .array(
      z.strictObject({
        id: z.string().min(1).max(40),
        name: z.string().min(1).max(80),
        ratedAmps: z.number().positive().max(200),
        ratedReverseVolts: z.number().positive().max(2000),
        saturationAmps: z.number().positive().max(1),
        ideality: z.number().min(0.5).max(4),
        seriesOhms: z.number().min(0).max(10),
        bareWatts: z.number().positive().max(100),
        source,
      }),
    )
    .optional(),
});

/** Adds a shop's parts to a library, or says what is wrong with the file by path. Reading the file is the caller's. */
export function withShopParts(
  json: unknown,
  library: PartsLibrary = defaultLibrary,
): { ok: true; library: PartsLibrary } | { ok: false; problems: { path: string; message: string }[] } {
  const parsed = shopPartsSchema.safeParse(json);
  if (!parsed.success) {
    const problems = parsed.error.issues.map((issue) => ({ path: issue.path.join("."), message: issue.message }));
    return { ok: false, problems };
  }
  const shop = parsed.data;
  const sourced = (given: string | undefined): { source: string; grade: "C" } => ({
    source: given === undefined ? shopSource : `${shopSource}: ${given}`,
    grade: "C",
  });
  return {
    ok: true,
    library: {
      bulbs: [
        ...library.bulbs,
        ...(shop.bulbs ?? []).map(({ dim, tolerance, ...bulb }) => ({
          ...bulb,
          ...(dim === undefined ? {} : { dim }),
          tolerance: tolerance ?? 0.1,
          ...sourced(bulb.source),
        })),
      ],
      wires: [
        ...library.wires,
        ...(shop.wires ?? []).map(({ amps, fuseAmps, ...wire }) => ({
          ...wire,
          carries: { amps, ...sourced(wire.source) },
          fuse: { amps: fuseAmps, ...sourced(wire.source) },
          ...sourced(wire.source),
        })),
      ],
      diodes: [
        ...library.diodes,
        ...(shop.diodes ?? []).map((diode) => ({
          id: diode.id,
          name: diode.name,
          ratedAmps: diode.ratedAmps,
          ratedReverseVolts: diode.ratedReverseVolts,
          model: {
            saturationAmps: diode.saturationAmps,
            ideality: diode.ideality,
            seriesOhms: diode.seriesOhms,
            nominalCelsius: 25,
          },
          points: [],
          bareWatts: { watts: diode.bareWatts, ...sourced(diode.source) },
          ...sourced(diode.source),
        })),
      ],
      fuses: library.fuses,
    },
  };
}
