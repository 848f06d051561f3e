import type { Readings } from "../../readings/readings.js";
import type { Observation, ObservationKind } from "./observation.js";

/** One way of feeding the network. */
export type Feeding =
  | { readonly kind: "rest" }
  | { readonly kind: "low"; readonly pin: string }
  | { readonly kind: "drive"; readonly pin: string }
  | { readonly kind: "inrush"; readonly pin: string }
  | { readonly kind: "back-feed"; readonly functions: readonly string[] };

/** Everything that was read while the network was fed one way. */
export interface ReadingBlock {
  readonly feeding: Feeding;
  readonly observations: readonly Observation[];
  /** Whether the current limit ended the drive; undefined where no drive was. */
  readonly tripped?: boolean;
  /** Lamps seen lit during the drive; undefined where nobody looked. */
  readonly seen?: readonly string[];
}

/** The bench states expanded uncertainties; the standard ones are half (GUM, coverage factor 2). */
const coverageFactor = 2;
/** What the inrush amplifier resolves, amps (bench design: ×4 amplifier, 50 A over 1024 steps, and its noise). */
const inrushSigma = { offset: 0.08, relative: 0.02 } as const;

/** Sorts readings by how the network was fed. The current and volts of a drive that the limit cut say no more than that it was cut. */
export function readingBlocks(readings: Readings): ReadingBlock[] {
  const { amps: ampsDoubt, volts: voltsDoubt } = readings.tester.uncertainty;
  const volts = (
    kind: ObservationKind,
    fed: string,
    table: Readonly<Record<string, number>> | undefined,
  ): Observation[] =>
    Object.entries(table ?? {}).map(([pin, value]) => ({
      kind,
      fed,
      pin,
      value,
      sigma: Math.max(1e-4, (voltsDoubt.offset + voltsDoubt.relative * Math.abs(value)) / coverageFactor),
    }));
  const blocks: ReadingBlock[] = [];
  if (readings.rest !== undefined)
    blocks.push({ feeding: { kind: "rest" }, observations: volts("rest", "", readings.rest) });
  for (const { pin, volts: near, farVolts } of readings.lowCurrent ?? []) {
    blocks.push({
      feeding: { kind: "low", pin },
      observations: [...volts("low", pin, near), ...volts("low-far", pin, farVolts)],
    });
  }
  for (const drive of readings.drives ?? []) {
    const { pin, amps, peakAmps } = drive;
    const tripped = drive.tripped === true;
    const seen = readings.seen?.filter((entry) => entry.pin === pin).at(-1)?.lit;
    const sigma = Math.max(1e-4, (ampsDoubt.offset + ampsDoubt.relative * Math.abs(amps)) / coverageFactor);
    blocks.push({
      feeding: { kind: "drive", pin },
      observations: tripped
        ? []
        : [
            { kind: "drive-amps", fed: pin, pin, value: amps, sigma },
            ...volts("drive-volts", pin, drive.volts),
            ...volts("drive-far", pin, drive.farVolts),
          ],
      tripped,
      ...(seen === undefined ? {} : { seen }),
    });
    if (peakAmps !== undefined && !tripped) {
      const peakSigma = inrushSigma.offset + inrushSigma.relative * peakAmps;
      blocks.push({
        feeding: { kind: "inrush", pin },
        observations: [{ kind: "peak", fed: pin, pin, value: peakAmps, sigma: peakSigma }],
      });
    }
  }
  for (const { pin, lit } of readings.seen ?? []) {
    if (readings.drives?.some((drive) => drive.pin === pin)) continue;
    blocks.push({ feeding: { kind: "drive", pin }, observations: [], seen: lit });
  }
  for (const { vehicle, volts: near } of readings.backFeed ?? []) {
    blocks.push({
      feeding: { kind: "back-feed", functions: vehicle },
      observations: volts("back-feed", vehicle.join(" and "), near),
    });
  }
  return blocks;
}
