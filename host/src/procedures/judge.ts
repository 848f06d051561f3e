import { diagnose } from "../diagnosis/diagnose.js";
import type { Findings } from "../diagnosis/findings.js";
import type { Plan } from "../plan/plan-schema.js";
import type { Readings } from "../readings/readings.js";

/**
 * What makes findings of a plan and its readings: for a procedure whose caller must not stand still meanwhile, in another
 * thread. Rejects where that cannot be done; `signal` tells that nobody waits for them any more.
 */
export type Judge = (plan: Plan, readings: Readings, signal: AbortSignal) => Promise<Findings>;

/** Judges at once and in this thread. */
export const judgeHere: Judge = async (plan, readings) => diagnose(plan, readings);
