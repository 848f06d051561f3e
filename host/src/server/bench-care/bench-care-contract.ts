import { z } from "zod";
import type { CalibrationStep } from "../../procedures/calibration/calibration-steps.js";
import type { SelfTestStep } from "../../procedures/self-test/self-test.js";
import type { SelfTestItem } from "../../procedures/self-test/self-test-item.js";

/** What passes between server and browser about looking after a bench: facts, self-test, calibration. Volts, amps, ohms. */

const knownResistor = z.strictObject({
  ohms: z.number().positive().max(10_000),
  /** The band's limit, percent. */
  percent: z.number().positive().max(10),
});

/** The bounds of `pinwalk calibrate`'s answers file. Limits are half-widths, as booklets and bands give them. */
const calibrationStartSchema = z.strictObject({
  meter: z.strictObject({ percent: z.number().positive().max(5), volts: z.number().min(0).max(1) }),
  resistors: z.array(knownResistor).min(2).max(3),
  lowResistor: knownResistor,
  serial: z
    .string()
    .regex(/^[A-Za-z0-9.-]{1,16}$/)
    .optional(),
});

export type CalibrationStart = z.infer<typeof calibrationStartSchema>;

/** Commands that look after a bench. `step` says which one is answered, so that a second tap answers nothing. */
const step = z.number().int().min(1).max(32);
export const benchCareCommands = {
  /** Asks the chosen bench who and how it is. */
  "bench:ask": z.strictObject({}),
  /** Another board for the virtual bench: with parts that scatter, or just as designed. */
  "bench:board": z.strictObject({ scattered: z.boolean() }),
  "self-test:start": z.strictObject({}),
  "self-test:answer": z.strictObject({ step, ready: z.boolean() }),
  "calibration:start": calibrationStartSchema,
  /** Volts where the step wants them; null to leave it out. */
  "calibration:answer": z.strictObject({ step, volts: z.number().min(0).max(20).nullable() }),
  /** Virtual bench: plugs in what the present step asks for. */
  "bench-care:simulate": z.strictObject({}),
} as const;

interface CareJob {
  readonly state: "idle" | "running" | "stopping" | "ended";
  readonly hindrance: string | null;
  readonly benchName: string;
  /** Only on the virtual bench. */
  readonly simulated: SimulatedView | null;
}

/** What a person would do with their hands and read off a meter, done on the virtual bench. */
export interface SimulatedView {
  /** What the present step asks for, as a thing to press; null where it is so already. */
  readonly offer: string | null;
  readonly pluggedIn: string;
  /** What a meter without fault shows where the step says to measure. */
  readonly meterVolts: number | null;
}

/** How a job of this kind has ended; `documentId` names what it has left. */
export type CareEnd =
  | { readonly kind: "done"; readonly overall: "pass" | "fail" | "unsure"; readonly documentId: string | null }
  | { readonly kind: "stopped"; readonly message: string }
  | { readonly kind: "could-not-test"; readonly message: string };

export interface SelfTestView extends CareJob {
  readonly end: CareEnd | null;
  /** Counts the steps from 1; 0 while none is waiting. */
  readonly step: number;
  readonly asks: SelfTestStep | null;
  /** What is going on between two steps. */
  readonly doing: string | null;
  readonly items: readonly SelfTestItem[];
}

export interface CalibrationView extends CareJob {
  readonly end: CareEnd | null;
  /** Counts the steps from 1; 0 while none is waiting. */
  readonly step: number;
  readonly steps: number;
  readonly asks: CalibrationStep | null;
  /** What must not go wrong at this step. */
  readonly caution: string | null;
  /** The steps that were answered, with what was read. */
  readonly answered: readonly { readonly step: number; readonly words: string; readonly answer: string }[];
  /** Worked out before anything is written; rows of name and figure. */
  readonly found: readonly { readonly name: string; readonly figure: string }[];
}

/** One calibration or self-test that is kept on this computer. */
export interface CareDocument {
  readonly id: string;
  readonly kind: "calibration" | "self-test";
  /** ISO 8601. */
  readonly at: string;
  readonly bench: string;
  /** One line about what came out. */
  readonly words: string;
}

export interface BenchCareView {
  readonly documents: readonly CareDocument[];
  /** Of the virtual bench; null where there is none that can be replaced. */
  readonly board: "designed" | "scattered" | null;
  readonly asking: boolean;
}

/** What the bench page adds to the workbench's state. */
export interface BenchCareSections {
  readonly benchCare: BenchCareView;
  readonly selfTest: SelfTestView;
  readonly calibration: CalibrationView;
}

/** A line of the serial log; everything in it is text for people, control characters made visible. */
export interface SerialLineView {
  readonly seq: number;
  /** Milliseconds since 1970. */
  readonly at: number;
  readonly path: string;
  readonly direction: "to-bench" | "from-bench";
  readonly raw: string;
  readonly words: string;
}

/** `GET /bench-care/serial?after=SEQ`. */
export interface SerialLogView {
  readonly lines: readonly SerialLineView[];
  readonly last: number;
}
