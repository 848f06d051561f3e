import { protocolVersion } from "@pinwalk/firmware-protocol/generated/protocol.js";
import type { StatedUncertainty } from "../../bench/bench-calibration.js";
import type { FoundBench } from "../../bench/discovery.js";
import { dueDate } from "../../procedures/calibration/calibration-document.js";
import { uncertaintyWords } from "./uncertainty-words.js";

/** What is known of a bench, each in words or figures that stand on the page as they are. */
export interface BenchFacts {
  /** Null for one that was never given a number. */
  readonly serial: string | null;
  readonly firmware: string;
  readonly protocol: number;
  readonly temperatureC: number | null;
  readonly supplyVolts: number | null;
  readonly calibration: CalibrationFacts;
}

interface CalibrationFacts {
  readonly state: "never" | "good" | "due-soon" | "overdue";
  /** YYYY-MM-DD. */
  readonly calibratedAt: string | null;
  readonly dueAt: string | null;
  /** What the state means, in a sentence. */
  readonly words: string;
  /** Standard uncertainty of its readings, in words; null where the bench states none. */
  readonly uncertainty: string | null;
}

/** A month's notice to find the meter and the resistors. */
const soonDays = 30;
const dayMs = 86_400_000;

/** The facts of a bench that has answered; `today` decides what is overdue. */
export function benchFacts(found: FoundBench & { readonly kind: "bench" }, today: Date): BenchFacts {
  const { identity, status, uncertainty } = found;
  return {
    serial: identity.serial === "-" ? null : identity.serial,
    firmware: identity.firmware,
    protocol: protocolVersion,
    temperatureC: status?.temperatureC ?? null,
    supplyVolts: status?.supplyVolts ?? null,
    calibration: calibrationFacts(identity.calibratedAt, uncertainty, today),
  };
}

function calibrationFacts(
  calibratedAt: string | undefined,
  uncertainty: StatedUncertainty | undefined,
  today: Date,
): CalibrationFacts {
  if (calibratedAt === undefined) {
    return {
      state: "never",
      calibratedAt: null,
      dueAt: null,
      words: "Never calibrated: it measures with the larger uncertainty of its design.",
      uncertainty: null,
    };
  }
  const dueAt = dueDate(calibratedAt) ?? null;
  const left = dueAt === null ? 0 : Math.ceil((Date.parse(dueAt) - today.getTime()) / dayMs);
  const base = { calibratedAt, dueAt, uncertainty: uncertainty ? uncertaintyWords(uncertainty) : null };
  if (dueAt === null)
    return { ...base, state: "overdue", words: "It gives a date of calibration that is no date: calibrate it." };
  if (left < 0)
    return {
      ...base,
      state: "overdue",
      words: `Overdue by ${days(-left)}: calibrate it before its figures are relied on.`,
    };
  if (left <= soonDays)
    return { ...base, state: "due-soon", words: left === 0 ? "Due today." : `Due in ${days(left)}.` };
  return { ...base, state: "good", words: `Good for another ${days(left)}.` };
}

const days = (count: number): string => `${count} ${count === 1 ? "day" : "days"}`;
