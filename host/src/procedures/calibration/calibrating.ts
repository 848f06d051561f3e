import type { BenchSession } from "../../bench/bench-session.js";
import { BenchTurn, type BrokenOff, type PortOrOpener } from "../bench-turn.js";
import { EventQueue } from "../event-queue.js";
import {
  driveInto,
  lowAtFirstPin,
  requireJoined,
  requireLikely,
  calibrationTrouble as trouble,
} from "./bench-comparisons.js";
import { type CalibrationData, type CalibrationResult, calibrate, type Meter } from "./calibration-data.js";
import { type CalibrationDocument, dueDate } from "./calibration-document.js";
import { type CalibrationStep, calibrationSteps, type KnownResistor } from "./calibration-steps.js";

export interface CalibratingOptions {
  readonly port: PortOrOpener;
  readonly meter: Meter;
  /** Two or three, for the current: it is best known where it was compared. */
  readonly resistors: readonly KnownResistor[];
  /** About 1 kΩ, for the low-current source. */
  readonly lowResistor: KnownResistor;
  /** Given to the bench together with its constants. */
  readonly serial?: string;
  readonly now?: () => Date;
}

export type CalibratingOutcome = { readonly kind: "calibrated"; readonly document: CalibrationDocument } | BrokenOff;

/** What a listener hears; each `step` waits for `answer` or `skip`. Volts, amps, ohms. */
export type CalibratingEvent =
  | { readonly kind: "connecting" }
  | { readonly kind: "step"; readonly step: CalibrationStep; readonly number: number; readonly of: number }
  | {
      readonly kind: "found";
      readonly uncertainty: CalibrationResult["uncertainty"];
      readonly residuals: CalibrationResult["residuals"];
    }
  | { readonly kind: "ended"; readonly outcome: CalibratingOutcome };

const everyChannel = 2 ** 13 - 1;

/**
 * Leads a person through comparing a bench with a meter and known resistors, writes gain and offset of its inputs and its
 * low-current source into it, and reads them back. Starts at once; iterate it for the events, and answer each step. Nothing is
 * written before the last step is answered. Never throws: what goes wrong is an outcome, and every end has the outputs off.
 */
export class Calibrating implements AsyncIterable<CalibratingEvent> {
  readonly outcome: Promise<CalibratingOutcome>;
  readonly #options: CalibratingOptions;
  readonly #turn = new BenchTurn();
  readonly #events = new EventQueue<CalibratingEvent>();
  readonly #data: CalibrationData = { supply: [], joined: [], lowOpen: undefined, lowLoaded: undefined, loaded: [] };
  #answered: (volts: number | undefined) => void = () => undefined;

  constructor(options: CalibratingOptions) {
    this.#options = options;
    this.outcome = this.#run();
  }

  /** The present step is done; volts where it wants them. */
  answer(volts = 0): void {
    this.#answered(volts);
  }

  /** The present step cannot be done. One that is not optional ends the calibration. */
  skip(): void {
    this.#answered(undefined);
  }

  cancel(): void {
    this.#turn.cancel();
    this.#answered(undefined);
  }

  async *[Symbol.asyncIterator](): AsyncGenerator<CalibratingEvent, void, undefined> {
    try {
      for (let event = await this.#events.next(); event; event = await this.#events.next()) yield event;
    } finally {
      this.cancel();
      await this.outcome;
    }
  }

  async #run(): Promise<CalibratingOutcome> {
    await Promise.resolve();
    const outcome = await this.#calibrate().then(
      (document): CalibratingOutcome => ({ kind: "calibrated", document }),
      (error: unknown): CalibratingOutcome => this.#turn.brokenOff(error),
    );
    this.#events.push({ kind: "ended", outcome });
    this.#events.end();
    return outcome;
  }

  async #calibrate(): Promise<CalibrationDocument> {
    const { port, resistors, lowResistor, meter } = this.#options;
    this.#events.push({ kind: "connecting" });
    if (resistors.length < 2)
      throw trouble("resistors", "Two known resistors are needed for the current, three are better.");
    const steps = calibrationSteps(resistors, lowResistor);
    try {
      const session = await this.#turn.open(port, { used: everyChannel, senseOnly: 0, ground: 0, far: true });
      const before = await session.calibration();
      let result: CalibrationResult | undefined;
      for (const [index, step] of steps.entries()) {
        if (step.id === "write") {
          result = this.#worked(() => calibrate(this.#data, before, meter, lowResistor));
          this.#events.push({ kind: "found", uncertainty: result.uncertainty, residuals: result.residuals });
        }
        const answer = await this.#ask(step, index + 1, steps.length);
        if (answer !== undefined) await this.#measure(session, step, answer);
      }
      if (result === undefined) throw new Error("the steps end with writing");
      return await this.#write(session, result);
    } finally {
      await this.#turn.close();
    }
  }

  async #ask(step: CalibrationStep, number: number, of: number): Promise<number | undefined> {
    this.#turn.stopIfCancelled();
    const answered = new Promise<number | undefined>((resolve) => {
      this.#answered = resolve;
    });
    this.#events.push({ kind: "step", step, number, of });
    const answer = await answered;
    this.#turn.stopIfCancelled();
    if (answer === undefined && !step.optional)
      throw trouble("step-skipped", `This cannot be left out: ${step.words} Nothing was written.`);
    return answer;
  }

  async #measure(session: BenchSession, { id, index }: CalibrationStep, answer: number): Promise<void> {
    const data = this.#data;
    const stop = () => this.#turn.stopIfCancelled();
    switch (id) {
      case "supply":
      case "other-supply": {
        const { supplyVolts } = await session.rest();
        requireLikely(answer, supplyVolts, "the bench's supply");
        data.supply.push({ bench: supplyVolts, meter: answer });
        return;
      }
      case "joined": {
        const { volts, farVolts = [] } = await session.rest();
        requireJoined(answer, [...volts, ...farVolts]);
        data.joined.push({ near: volts, far: farVolts, meter: answer });
        return;
      }
      case "low-open":
        data.lowOpen = await lowAtFirstPin(session, stop);
        return;
      case "low-resistor":
        data.lowLoaded = await lowAtFirstPin(session, stop);
        return;
      case "resistor": {
        const resistor = this.#options.resistors[index];
        if (resistor !== undefined) data.loaded.push({ ...(await driveInto(session, resistor, stop)), resistor });
        return;
      }
      case "write":
        return;
    }
  }

  /** Writes, reads back, and says what now stands in the bench. */
  async #write(session: BenchSession, result: CalibrationResult): Promise<CalibrationDocument> {
    const { meter, resistors, serial, now = () => new Date() } = this.#options;
    const calibratedAt = now().toISOString().slice(0, 10);
    if (serial !== undefined) await session.setSerial(serial);
    await session.stage(result.calibration);
    this.#turn.stopIfCancelled();
    const revision = await session.store(calibratedAt);
    const { current, supply, near, far, lowSource, uncertainty } = await session.calibration();
    const wanted = result.calibration;
    for (const [what, is, should] of [
      ["current", current, wanted.current],
      ["supply", supply, wanted.supply],
      ["near inputs", near, wanted.near],
      ["far inputs", far, wanted.far],
      ["low-current source", lowSource, wanted.lowSource],
      ["uncertainty", uncertainty, wanted.uncertainty],
    ] as const) {
      if (JSON.stringify(is) !== JSON.stringify(should)) {
        throw trouble(
          "not-kept",
          `The bench does not give back the constants of its ${what} as they were written. Calibrate it again.`,
        );
      }
    }
    return {
      format: "pinwalk-calibration/1",
      bench: { serial: session.identity.serial, firmware: session.identity.firmware },
      calibratedAt,
      dueAt: dueDate(calibratedAt) ?? calibratedAt,
      revision,
      meter: { ...meter },
      resistors: resistors.map(({ value, u }) => ({ value, u })),
      constants: {
        current: { ...current },
        supply: { ...supply },
        near: near.map((one) => ({ ...one })),
        far: far.map((one) => ({ ...one })),
        lowSource: result.lowSource,
      },
      residuals: result.residuals,
      uncertainty: result.uncertainty,
    };
  }

  #worked<Result>(work: () => Result): Result {
    try {
      return work();
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      throw trouble("not-enough", `That is not enough for a calibration: ${error.message}. Nothing was written.`);
    }
  }
}
