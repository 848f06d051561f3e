import { inVolts } from "./amounts.js";
import type { VerdictRule } from "./verdict-rule.js";

/** A pin counts as live from here on: the bench itself refuses to drive above it (the bench's duty 2), volts. */
const liveVolts = 1;

/** Something else than the bench feeds the pin. */
export const shortToPower: VerdictRule = {
  verdict: "short-to-power",
  reasonFor: ({ restVolts }) =>
    restVolts !== undefined && restVolts > liveVolts
      ? `${inVolts(restVolts)} on the pin with everything off: a foreign supply reaches it.`
      : undefined,
};
