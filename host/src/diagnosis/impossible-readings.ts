import type { Readings } from "../readings/readings.js";
import { inAmps, inVolts } from "./verdicts/amounts.js";

/** A reading that no wiring can bring about. */
export interface ImpossibleReading {
  readonly path: string;
  readonly words: string;
}

/** Nothing in a vehicle is higher than this many times its nominal voltage (a booster's double supply is below), no source. */
const mostVoltsPerNominal = 3;
/** A drive goes on below this many times the limit at most: settling and error of the limit together. */
const mostTripShare = 1.5;
/** The driven pin is the supply less its own loss, within this: share of the supply, and volts. */
const supplyDoubt = { relative: 0.1, volts: 1 } as const;

/** Readings that physics forbids: misread units, a loose measuring lead, a file edited by hand. */
export function impossibleReadings(readings: Readings, nominalVolts: number): ImpossibleReading[] {
  return [...tooHigh(readings, nominalVolts), ...impossibleDrives(readings)];
}

function tooHigh(readings: Readings, nominalVolts: number): ImpossibleReading[] {
  const most = mostVoltsPerNominal * nominalVolts;
  const tables: (readonly [string, Readonly<Record<string, number>> | undefined])[] = [
    ["rest", readings.rest],
    ...(readings.lowCurrent ?? []).flatMap(({ pin, volts, farVolts }) => [
      [`lowCurrent of ${pin}`, volts] as const,
      [`lowCurrent of ${pin}`, farVolts] as const,
    ]),
    ...(readings.drives ?? []).flatMap(({ pin, volts, farVolts }) => [
      [`drive of ${pin}`, volts] as const,
      [`drive of ${pin}`, farVolts] as const,
    ]),
    ...(readings.backFeed ?? []).map(({ volts }) => ["backFeed", volts] as const),
  ];
  return tables.flatMap(([path, table]) =>
    Object.entries(table ?? {})
      .filter(([, volts]) => !(Math.abs(volts) <= most))
      .map(([pin, volts]) => ({ path, words: `${inVolts(volts)} on ${pin} (${path}) in a ${nominalVolts} V wiring` })),
  );
}

function impossibleDrives({ drives, source }: Readings): ImpossibleReading[] {
  return (drives ?? []).flatMap(({ pin, amps, volts, tripped }): ImpossibleReading[] => {
    const path = `drive of ${pin}`;
    if (tripped === true) return [];
    if (!(amps <= mostTripShare * source.tripAmps))
      return [
        { path, words: `${inAmps(amps)} into ${pin} although the limit of ${inAmps(source.tripAmps)} did not cut it` },
      ];
    const read = volts[pin];
    if (read === undefined || amps < 0.05) return [];
    const due = source.volts - amps * source.ohms;
    const doubt = supplyDoubt.volts + supplyDoubt.relative * source.volts;
    if (Math.abs(read - due) <= doubt) return [];
    return [
      {
        path,
        words: `${inVolts(read)} on ${pin} while it took ${inAmps(amps)} from a supply of ${inVolts(source.volts)}`,
      },
    ];
  });
}
