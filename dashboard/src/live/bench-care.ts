import type { CalibrationStart } from "@pinwalk/host/server/bench-care/bench-care-contract.js";
import { computed, signal } from "@preact/signals";
import { send } from "./connection.js";
import { workbench } from "./workbench-store.js";

export const benchCare = computed(() => workbench.value?.benchCare);
export const selfTest = computed(() => workbench.value?.selfTest);
export const calibration = computed(() => workbench.value?.calibration);

/** What stands in the fields before a calibration, as it was typed. */
export interface CalibrationDraft {
  readonly meterPercent: string;
  readonly meterVolts: string;
  readonly resistors: readonly { readonly ohms: string; readonly percent: string }[];
  readonly low: { readonly ohms: string; readonly percent: string };
  readonly serial: string;
}

/** A bench meter of the middle class and resistors of 1 %, as a shop has them (common practice, no source). */
export const calibrationDraft = signal<CalibrationDraft>({
  meterPercent: "0.5",
  meterVolts: "0.02",
  resistors: [
    { ohms: "10", percent: "1" },
    { ohms: "4.7", percent: "1" },
    { ohms: "2.2", percent: "1" },
  ],
  low: { ohms: "1000", percent: "1" },
  serial: "",
});

/** The first field that no number stands in, or one out of its bounds; null when all is well. */
export const draftProblem = computed(() => readDraft(calibrationDraft.value).problem);

/** The calibration as the bar has it: a field that cannot be used holds it up as well. */
export const calibrationJob = computed(() => {
  const state = calibration.value;
  return state && { ...state, hindrance: state.hindrance ?? draftProblem.value?.message ?? null };
});

export function startCalibration(): void {
  const { start } = readDraft(calibrationDraft.value);
  if (start) void send("calibration:start", start);
}

interface ReadDraft {
  readonly start: CalibrationStart | null;
  readonly problem: { readonly field: string; readonly message: string } | null;
}

/** A decimal comma is as good as a point. */
export function typedNumber(text: string): number {
  const trimmed = text.trim().replace(",", ".");
  return trimmed === "" ? Number.NaN : Number(trimmed);
}

/** The bounds are the server's; here they are told beside the field, before anything is sent. */
function readDraft(draft: CalibrationDraft): ReadDraft {
  const bad = (field: string, message: string): ReadDraft => ({ start: null, problem: { field, message } });
  const within = (text: string, least: number, most: number): boolean => {
    const value = typedNumber(text);
    return value >= least && value <= most;
  };
  if (!within(draft.meterPercent, 1e-6, 5)) return bad("meter-percent", "The meter's percent: above 0, at most 5.");
  if (!within(draft.meterVolts, 0, 1)) return bad("meter-volts", "The meter's volts: 0 to 1.");
  for (const [index, { ohms, percent }] of [...draft.resistors, draft.low].entries()) {
    const name = index === draft.resistors.length ? "low" : `resistor-${index}`;
    if (!within(ohms, 1e-3, 10_000)) return bad(`${name}-ohms`, "Ohms: above 0, at most 10000.");
    if (!within(percent, 1e-6, 10)) return bad(`${name}-percent`, "Percent of a resistor: above 0, at most 10.");
  }
  if (!/^[A-Za-z0-9.-]{0,16}$/.test(draft.serial))
    return bad("serial", "A serial number has up to 16 letters, digits, points and hyphens.");
  const known = ({ ohms, percent }: CalibrationDraft["low"]) => ({
    ohms: typedNumber(ohms),
    percent: typedNumber(percent),
  });
  return {
    problem: null,
    start: {
      meter: { percent: typedNumber(draft.meterPercent), volts: typedNumber(draft.meterVolts) },
      resistors: draft.resistors.map(known),
      lowResistor: known(draft.low),
      ...(draft.serial === "" ? {} : { serial: draft.serial }),
    },
  };
}
