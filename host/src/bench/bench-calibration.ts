import { channels, type RequestFields } from "@pinwalk/firmware-protocol/generated/protocol.js";
import { BenchError } from "./bench-error.js";
import type { BenchLink } from "./bench-link.js";

type Item = RequestFields["constant"]["item"];

/** What corrects one input: true value = gain x (what the design values give - offset). Offset in volts or amps. */
export interface InputCorrection {
  readonly gain: number;
  readonly offset: number;
}

/** All constants of a bench. Steps on the wire: gain 30 ppm (current 49, peak 20), offset 0.5 mV, 0.31 mA, peak 1.6 mA. */
export interface BenchCalibration {
  readonly current: InputCorrection;
  readonly peak: InputCorrection;
  readonly supply: InputCorrection;
  /** By channel, 13 of each. */
  readonly near: readonly InputCorrection[];
  readonly far: readonly InputCorrection[];
  readonly lowSource: { readonly volts: number; readonly ohms: number };
  /** What the calibration itself has stated; absent where it has not. */
  readonly uncertainty?: StatedUncertainty;
}

/** Standard uncertainty of readings: in proportion to them, without unit, and the rest in volts or amps. */
export interface StatedUncertainty {
  readonly volts: { readonly relative: number; readonly offset: number };
  readonly amps: { readonly relative: number; readonly offset: number };
}

interface InputDesign {
  /** Gain of the design as it goes over the wire (PROTOCOL.md, "Constants"). */
  readonly gain: number;
  /** Volts or amps of one thirty-second of a count. */
  readonly offsetStep: number;
}

const volts: InputDesign = { gain: 33_016, offsetStep: 33_016 / 65_536 / 1000 };
const designs = {
  current: { gain: 20_480, offsetStep: 20_480 / 65_536 / 1000 },
  peak: { gain: 51_200, offsetStep: 51_200 / 32_768 / 1000 },
  supply: volts,
  near: volts,
  far: volts,
} as const satisfies Record<string, InputDesign>;
type Input = keyof typeof designs;

/** Steps of a stated uncertainty on the wire: 10 ppm, 0.1 mV or 0.1 mA; 0 is "not stated". */
const uncertaintySteps = { scale: 1e-5, offset: 1e-4 } as const;
const mostSteps = 65_535;

const offsetZero = 32_768;
/** Writing takes about 0.6 s. */
const storeTimeoutMs = 2500;

const none: InputCorrection = { gain: 1, offset: 0 };

/** What a bench runs on that was never calibrated. */
export const designCalibration: BenchCalibration = {
  current: none,
  peak: none,
  supply: none,
  near: new Array<InputCorrection>(channels).fill(none),
  far: new Array<InputCorrection>(channels).fill(none),
  lowSource: { volts: 4.4, ohms: 1000 },
};

/** The constants in force. */
export async function readCalibration(link: BenchLink): Promise<BenchCalibration> {
  return {
    current: await readInput(link, "current", 0),
    peak: await readInput(link, "peak", 0),
    supply: await readInput(link, "supply", 0),
    near: await readChannels(link, "near"),
    far: await readChannels(link, "far"),
    lowSource: {
      volts: (await readItem(link, "low-volts", 0)) / 1000,
      ohms: await readItem(link, "low-ohms", 0),
    },
    ...withUncertainty(await readUncertainty(link)),
  };
}

/** What the bench states of its own readings; undefined where it was never told. */
export async function readUncertainty(link: BenchLink): Promise<StatedUncertainty | undefined> {
  const one = async (unit: "volts" | "amps") => ({
    relative: fromSteps(await readItem(link, `u-${unit}-scale`, 0), uncertaintySteps.scale),
    offset: fromSteps(await readItem(link, `u-${unit}-offset`, 0), uncertaintySteps.offset),
  });
  const stated = { volts: await one("volts"), amps: await one("amps") };
  return isStated(stated) ? stated : undefined;
}

function isStated({ volts, amps }: StatedUncertainty): boolean {
  return volts.relative + volts.offset > 0 && amps.relative + amps.offset > 0;
}

function withUncertainty(uncertainty: StatedUncertainty | undefined): Pick<BenchCalibration, "uncertainty"> {
  return uncertainty === undefined ? {} : { uncertainty };
}

/** Rounded up, and never to "not stated": a bench must not claim more than its calibration did. */
function toSteps(value: number, step: number): number {
  return Math.min(mostSteps, Math.max(1, Math.ceil(value / step - 1e-6)));
}

/** Divided, as 3e-4 written and 3 x 1e-4 are not the same number. */
function fromSteps(steps: number, step: number): number {
  return steps / Math.round(1 / step);
}

/** Stages every constant; each is in force at once, and gone at the next reset unless stored. */
export async function stageCalibration(link: BenchLink, calibration: BenchCalibration): Promise<void> {
  await stageInput(link, "current", 0, calibration.current);
  await stageInput(link, "peak", 0, calibration.peak);
  await stageInput(link, "supply", 0, calibration.supply);
  for (const input of ["near", "far"] as const) {
    for (let channel = 0; channel < channels; channel++) {
      await stageInput(link, input, channel, calibration[input][channel] ?? none);
    }
  }
  await stageItem(link, "low-volts", 0, calibration.lowSource.volts * 1000);
  await stageItem(link, "low-ohms", 0, calibration.lowSource.ohms);
  for (const unit of ["volts", "amps"] as const) {
    const one = calibration.uncertainty?.[unit];
    await stageItem(link, `u-${unit}-scale`, 0, one === undefined ? 0 : toSteps(one.relative, uncertaintySteps.scale));
    await stageItem(link, `u-${unit}-offset`, 0, one === undefined ? 0 : toSteps(one.offset, uncertaintySteps.offset));
  }
}

/**
 * Writes what is in force into EEPROM under this date (YYYY-MM-DD). Gives the revision. Refused as `not-stored` when the EEPROM
 * does not hold it; the constants before then still stand there.
 */
export async function storeConstants(link: BenchLink, date: string): Promise<number> {
  const stored = await link.request("store", { date }, { timeoutMs: storeTimeoutMs });
  if (stored.date !== date) throw notTaken(date, stored.date);
  return stored.revision;
}

/** The calibration as the bench will give it back: rounded to the steps of the wire. */
export function roundedCalibration(calibration: BenchCalibration): BenchCalibration {
  const rounded = (input: Input) => (one: InputCorrection) =>
    correctionOf(input, gainOf(input, one), offsetOf(input, one));
  return {
    current: rounded("current")(calibration.current),
    peak: rounded("peak")(calibration.peak),
    supply: rounded("supply")(calibration.supply),
    near: calibration.near.map(rounded("near")),
    far: calibration.far.map(rounded("far")),
    lowSource: {
      volts: Math.round(calibration.lowSource.volts * 1000) / 1000,
      ohms: Math.round(calibration.lowSource.ohms),
    },
    ...withUncertainty(calibration.uncertainty && roundedUncertainty(calibration.uncertainty)),
  };
}

function roundedUncertainty({ volts, amps }: StatedUncertainty): StatedUncertainty {
  const rounded = ({ relative, offset }: StatedUncertainty["volts"]) => ({
    relative: fromSteps(toSteps(relative, uncertaintySteps.scale), uncertaintySteps.scale),
    offset: fromSteps(toSteps(offset, uncertaintySteps.offset), uncertaintySteps.offset),
  });
  return { volts: rounded(volts), amps: rounded(amps) };
}

async function readChannels(link: BenchLink, input: "near" | "far"): Promise<InputCorrection[]> {
  const corrections: InputCorrection[] = [];
  for (let channel = 0; channel < channels; channel++) corrections.push(await readInput(link, input, channel));
  return corrections;
}

async function readInput(link: BenchLink, input: Input, channel: number): Promise<InputCorrection> {
  const gain = await readItem(link, `${input}-gain`, channel);
  return correctionOf(input, gain, await readItem(link, `${input}-offset`, channel));
}

async function readItem(link: BenchLink, item: Item, channel: number): Promise<number> {
  return (await link.request("constant", { item, channel })).value;
}

async function stageInput(link: BenchLink, input: Input, channel: number, one: InputCorrection): Promise<void> {
  await stageItem(link, `${input}-gain`, channel, gainOf(input, one));
  await stageItem(link, `${input}-offset`, channel, offsetOf(input, one));
}

async function stageItem(link: BenchLink, item: Item, channel: number, value: number): Promise<void> {
  const asked = { item, channel, value: Math.round(value) };
  const inForce = await link.request("stage", asked);
  if (inForce.item === item && inForce.channel === channel && inForce.value === asked.value) return;
  throw notTaken(JSON.stringify(asked), JSON.stringify(inForce));
}

function gainOf(input: Input, { gain }: InputCorrection): number {
  return Math.round(designs[input].gain * gain);
}

function offsetOf(input: Input, { offset }: InputCorrection): number {
  return Math.round(offset / designs[input].offsetStep) + offsetZero;
}

function correctionOf(input: Input, gain: number, offset: number): InputCorrection {
  return { gain: gain / designs[input].gain, offset: (offset - offsetZero) * designs[input].offsetStep };
}

function notTaken(asked: string, inForce: string): BenchError {
  return new BenchError({ code: "not-taken", what: "constants", asked, inForce });
}
