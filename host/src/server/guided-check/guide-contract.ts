import { z } from "zod";
import { lineOfText } from "../../records/person-text.js";

/** The steps of an install check, in the order in which a person does them. */
export const guideSteps = [
  "check-list",
  "rest",
  "low-current",
  "drive",
  "back-feed",
  "walk-round",
  "verdict",
  "next-checks",
  "keep",
] as const;

export type GuideStep = (typeof guideSteps)[number];

/** Steps that the rest does not build on: these may be left out, with a reason. */
export const steppingStones = ["back-feed", "walk-round", "next-checks", "keep"] as const;

/** Names an unfinished check that was put by; also the name of its file. */
export const checkIdSchema = z.string().regex(/^[0-9a-z-]{1,48}$/, "is not the name of a check");

/** Commands of the guided check. */
export const guideCommands = {
  /** Null takes the step in again. */
  "guide:leave-out": z.strictObject({ step: z.enum(steppingStones), reason: lineOfText(200).nullable() }),
  /** Puts a check that was left back on the workbench. */
  "guide:take-up": z.strictObject({ checkId: checkIdSchema }),
  /** Throws away what an unfinished check has measured. */
  "guide:put-away": z.strictObject({ checkId: checkIdSchema }),
} as const;

export interface GuideStepView {
  readonly step: GuideStep;
  /** `stopped`: begun, and broken off. */
  readonly state: "done" | "now" | "to-come" | "left-out" | "stopped";
  /** What came of it, or why it was left out. */
  readonly detail: string | null;
  readonly mayLeaveOut: boolean;
}

/** A check that was begun and neither kept as a record nor put away. */
export interface UnfinishedCheckView {
  readonly id: string;
  readonly planName: string;
  readonly benchName: string;
  /** When it was begun and when something was last added to it, ISO 8601. */
  readonly begunAt: string;
  readonly savedAt: string;
  /** What has been measured and answered, in words. */
  readonly done: string;
}

export interface GuideView {
  /** Empty where there is no install check to guide through. */
  readonly steps: readonly GuideStepView[];
  /** What is to be done now; null while a step goes on, and when nothing is left. */
  readonly next: GuideStep | null;
  /** Checks that can be taken up again, the newest first; the one on the workbench is not among them. */
  readonly unfinished: readonly UnfinishedCheckView[];
  /** Of a check that was taken up again: since when it lay, and what is not as it was. */
  readonly takenUp: { readonly savedAt: string; readonly changed: string | null } | null;
  /** Why what is measured cannot be stored on this computer, if so. */
  readonly problem: string | null;
}
