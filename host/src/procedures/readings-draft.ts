import type { DriveReading, LowCurrentReading, Readings } from "../readings/readings.js";
import { benchUncertainty } from "./bench-uncertainty.js";

/** What the bench has between its supply and a pin: shunt, fuse, relay, switch and leads (design value). */
const sourceOhms = 0.1;
/** The low-current source: a 595 output at 5 V less a small-signal diode, behind 1 kΩ (design values). */
const lowVolts = 4.4;
const lowOhms = 1000;
/** The divider on every pin, 100 kΩ and 33 kΩ (design values). */
const senseOhms = 133_000;

/** The bench as the readings name it. */
export interface ReadingsTester {
  readonly serial: string;
  readonly firmware: string;
  /** Absent for a bench that runs on design values. */
  readonly calibratedAt: string | undefined;
  /** Standard uncertainty that the bench's calibration has stated; absent where it has not. */
  readonly statedUncertainty?: Readings["tester"]["uncertainty"] | undefined;
  readonly tripAmps: number;
}

/** Readings as they grow in the course of a walk; `document()` is valid at any time, with what there is so far. */
export class ReadingsDraft {
  readonly #tester: ReadingsTester;
  readonly #takenAt: string;
  readonly #lowCurrent: LowCurrentReading[] = [];
  readonly #drives: DriveReading[] = [];
  #rest: Readonly<Record<string, number>> | undefined;
  #supplyVolts = 0;
  #ambientC: number | undefined;

  constructor(tester: ReadingsTester, takenAt: Date) {
    this.#tester = tester;
    this.#takenAt = takenAt.toISOString();
  }

  /** Volts of the unloaded supply, and of every pin with everything off. */
  noteRest(supplyVolts: number, volts: Readonly<Record<string, number>>): void {
    this.#supplyVolts = supplyVolts;
    this.#rest = volts;
  }

  /** What the bench's own sensor says, °C; a sensor that is missing or torn off reads far outside and is not passed on. */
  noteAmbient(ambientC: number): void {
    if (ambientC >= -40 && ambientC <= 70) this.#ambientC = ambientC;
  }

  addLowCurrent(reading: LowCurrentReading): void {
    this.#lowCurrent.push(reading);
  }

  addDrive(reading: DriveReading): void {
    this.#drives.push(reading);
  }

  /** Undefined before the look at rest: without the supply's volts there is nothing to be made of the rest. */
  document(): Readings | undefined {
    if (this.#rest === undefined) return undefined;
    const { serial, firmware, calibratedAt, statedUncertainty, tripAmps } = this.#tester;
    return {
      format: "pinwalk-readings/1",
      takenAt: this.#takenAt,
      tester: {
        id: serial,
        firmware,
        ...(calibratedAt === undefined ? {} : { calibratedAt }),
        uncertainty: benchUncertainty(calibratedAt, statedUncertainty),
      },
      ...(this.#ambientC === undefined ? {} : { ambientC: this.#ambientC }),
      source: { volts: this.#supplyVolts, ohms: sourceOhms, lowVolts, lowOhms, senseOhms, tripAmps },
      rest: { ...this.#rest },
      lowCurrent: [...this.#lowCurrent],
      drives: [...this.#drives],
    };
  }
}
