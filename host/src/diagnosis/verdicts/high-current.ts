import { ampsUncertainty } from "../circuit-evidence.js";
import { inAmps } from "./amounts.js";
import type { VerdictRule } from "./verdict-rule.js";

/** More current than the loads on the plan explain. */
export const highCurrent: VerdictRule = {
  verdict: "high-current",
  reasonFor: ({ drive, healthy }, { readings }) => {
    if (drive === undefined || drive.tripped) return undefined;
    return drive.amps - ampsUncertainty(readings, drive.amps) > healthy.amps.high
      ? `${inAmps(drive.amps)} instead of ${inAmps(healthy.amps.expected)} (at most ${inAmps(healthy.amps.high)}): more hangs on it than the plan says.`
      : undefined;
  },
};
