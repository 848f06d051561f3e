import type { DiodeModel } from "../../circuit/diode.js";
import type { Sourced } from "./sourced.js";

/** A published point that a model was fitted to, or is held against. */
export interface DiodePoint extends Sourced {
  readonly amps: number;
  readonly volts: number;
  readonly celsius: number;
}

export interface IsolationDiode extends Sourced {
  readonly id: string;
  readonly name: string;
  readonly ratedAmps: number;
  readonly ratedReverseVolts: number;
  readonly model: DiodeModel;
  /** The points that the model meets within 15 mV. */
  readonly points: readonly DiodePoint[];
  /** Watts that it gets rid of without a heat sink at 25 °C; what is more wants one. */
  readonly bareWatts: { readonly watts: number } & Sourced;
}

const junction = { gapVolts: 1.11, saturationExponent: 3, nominalCelsius: 25 } as const;
const memory = (watts: number, what: string): IsolationDiode["bareWatts"] => ({
  watts,
  grade: "D",
  source: `from memory: ${what}`,
});

export const diodes: readonly IsolationDiode[] = [
  {
    id: "silicon-6a",
    name: "6 A silicon rectifier (6A05 to 6A10)",
    ratedAmps: 6,
    ratedReverseVolts: 50,
    model: { saturationAmps: 29.65e-9, ideality: 1.7, seriesOhms: 0.0191, ...junction },
    points: [
      {
        amps: 6,
        volts: 0.95,
        celsius: 25,
        grade: "B",
        source: "6A10 data sheets of three makers: at most 0.95 V at 6 A (others 1.0 and 1.1 V)",
      },
      {
        amps: 0.003868,
        volts: 0.526,
        celsius: 20,
        grade: "C",
        source: "mean of 36 low-current readings of the made cases in fixtures/cases, lamp and wire taken off",
      },
    ],
    bareWatts: memory(5, "axial R-6 case on 10 mm leads, about 20 K/W at 100 K rise"),
    grade: "B",
    source: "N, IS and RS fitted to the points below",
  },
  {
    id: "silicon-3a",
    name: "3 A silicon rectifier (1N5400 to 1N5408)",
    ratedAmps: 3,
    ratedReverseVolts: 50,
    model: { saturationAmps: 4.5e-9, ideality: 1.6, seriesOhms: 0.0544, ...junction },
    points: [
      {
        amps: 3,
        volts: 1,
        celsius: 25,
        grade: "C",
        source: "1N5408G data sheet: at most 1.0 V at 3 A (others to 1.2 V)",
      },
    ],
    bareWatts: memory(3, "axial DO-201AD case on 10 mm leads"),
    grade: "C",
    source: "IS and N of a 3 A junction from memory, RS fitted to the point below",
  },
  {
    id: "silicon-10a",
    name: "10 A silicon rectifier (10A04)",
    ratedAmps: 10,
    ratedReverseVolts: 400,
    model: {
      saturationAmps: 844e-9,
      ideality: 2.06,
      seriesOhms: 0.00206,
      gapVolts: 1.11,
      saturationExponent: 3,
      nominalCelsius: 27,
    },
    points: [
      {
        amps: 1,
        volts: 0.747,
        celsius: 27,
        grade: "C",
        source: "SPICE model of the 10A04, Lessons in Electric Circuits vol. III ch. 3",
      },
      { amps: 10, volts: 0.888, celsius: 27, grade: "C", source: "the same model" },
    ],
    bareWatts: memory(6, "axial R-6 case on 10 mm leads"),
    grade: "C",
    source: "SPICE model parameters as printed in Lessons in Electric Circuits vol. III ch. 3",
  },
  {
    id: "schottky-10a",
    name: "10 A Schottky rectifier (MBR1045)",
    ratedAmps: 10,
    ratedReverseVolts: 45,
    model: {
      saturationAmps: 6.8e-9,
      ideality: 1.05,
      seriesOhms: 0.0126,
      gapVolts: 0.88,
      saturationExponent: 2,
      nominalCelsius: 25,
    },
    points: [
      {
        amps: 20,
        volts: 0.84,
        celsius: 25,
        grade: "D",
        source: "from memory: MBR1045 data sheet; the same volts were read for the MBR1545CT at 15 A",
      },
      {
        amps: 10,
        volts: 0.57,
        celsius: 125,
        grade: "D",
        source: "from memory: MBR1045 data sheet; the same volts were read for the MBR1545CT at 7.5 A",
      },
      {
        amps: 20,
        volts: 0.72,
        celsius: 125,
        grade: "D",
        source: "from memory: MBR1045 data sheet; the same volts were read for the MBR1545CT at 15 A",
      },
    ],
    bareWatts: memory(2, "TO-220 case without heat sink, about 60 K/W"),
    grade: "D",
    source: "N from memory; IS, RS and EG fitted to the points below (from memory)",
  },
];
